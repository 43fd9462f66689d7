/** What a conformance run looks at, in the order of its report. PROTOCOL.md has the rule behind each. */
export const RIG_CHECKS = [
  'answers',
  'banner',
  'identity',
  'channels',
  'rest',
  'stop-at-rest',
  'unknown-command',
  'bad-checksum',
  'bad-argument',
  'too-long',
  'empty-line',
  'carriage-return',
  'later-fields',
  'beat',
  'tare',
  'halt',
  'rate',
  'rate-refused',
  'start',
  'start-twice',
  'rate-while-sampling',
  'identify-while-sampling',
  'rates',
  'stamps',
  'clock',
  'counts',
  'stop',
  'rest-after-stop',
  'no-drive',
  'drive-range',
  'drive-beats',
  'drive-halt',
  'drive-lease',
  'drive-tripped',
  'line-form',
  'line-length',
  'sequence',
  'one-answer',
  'answer-time',
] as const;
export type RigCheckCode = (typeof RIG_CHECKS)[number];

/** One rule held against one device. Found and wanted are in the protocol's own words, so that they can be looked up. */
export interface RigCheck {
  readonly code: RigCheckCode;
  /** `unseen`: what the rule is about did not come up, or was not asked for. */
  readonly outcome: 'passed' | 'failed' | 'unseen';
  readonly found: string;
  readonly wanted: string;
}

export function judged(code: RigCheckCode, passed: boolean, found: string, wanted: string): RigCheck {
  return { code, outcome: passed ? 'passed' : 'failed', found, wanted };
}

export function unseen(code: RigCheckCode, found: string, wanted: string): RigCheck {
  return { code, outcome: 'unseen', found, wanted };
}
