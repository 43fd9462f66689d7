import type { RigCheck, RigCheckReport } from '../../daq/index.js';
import { simulatedPortPath } from '../../daq/simulated-rig/index.js';
import { rigFailed } from './failure.js';
import { checkSentences } from './rig-check-words.js';
import { argument, say, sayNext, style, textWidth, wrap, writeDocument } from './terminal.js';

const marks = { passed: '✓', failed: '✗', unseen: '–' } as const;

/**
 * Tells what passed, for people or as JSON.
 * @throws CommandFailure with status 3 when a check failed, after all has been told
 */
export function reportRigCheck({ identity, checks }: RigCheckReport, port: string, asJson: boolean): void {
  const count = (outcome: RigCheck['outcome']) => checks.filter((check) => check.outcome === outcome).length;
  const [passed, failed, unseen] = [count('passed'), count('failed'), count('unseen')];
  if (asJson) writeDocument({ port, identity, passed, failed, unseen, checks });
  else {
    if (identity) say(`'${identity.rigName}' (firmware ${identity.firmware}) on ${port}\n`);
    for (const check of checks) process.stdout.write(`${checkLine(check)}\n`);
    say(`\n${passed} passed, ${failed} failed, ${unseen} not seen.`);
    if (checks.some(({ code, outcome }) => code === 'drive-tripped' && outcome === 'passed'))
      say('The drive is tripped now. Look at the rig, then re-arm it there.');
    if (failed > 0)
      sayNext(
        `dashpot-bench rig-check --port ${argument(port)}`,
        'after a change; firmware-protocol/PROTOCOL.md has the rule behind each line',
      );
    else if (port === simulatedPortPath)
      sayNext('dashpot-bench demo', 'records two builds on the simulated rig and compares them');
    else
      sayNext(
        `dashpot-bench record --port ${argument(port)} --build NAME`,
        'records what is on the rig; NAME is what you call it',
      );
  }
  if (failed > 0) {
    const codes = checks.flatMap(({ outcome, code }) => (outcome === 'failed' ? [code] : []));
    throw rigFailed(
      `${port}: found ${failed} of ${checks.length} checks failed (${codes.join(', ')}); wanted none`,
    );
  }
}

/** "✓ Halts, always: found A,30,HALT,10*36DE; wanted A,…,HALT" */
function checkLine({ code, outcome, found, wanted }: RigCheck): string {
  const sentence = `${marks[outcome]} ${checkSentences[code]}`;
  const colour = outcome === 'failed' ? 'red' : outcome === 'unseen' ? 'dim' : 'green';
  const text = wrap(`${sentence}: found ${found}; wanted ${wanted}`, lineWidth(), '  ');
  return style(colour, text.slice(0, sentence.length)) + text.slice(sentence.length);
}

/** One line a check where no person reads along. */
function lineWidth(): number {
  return process.stdout.isTTY ? textWidth() : Number.POSITIVE_INFINITY;
}
