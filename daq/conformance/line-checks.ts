import { MAX_LINE_BYTES, type SkipReason } from '../../firmware-protocol/index.js';
import { lineNumbers } from './line-numbers.js';
import { judged, type RigCheck } from './rig-check.js';
import { ANSWER_WITHIN_MS, type HeardLine, isAnswerFrame, type SaidLine } from './rig-conversation.js';

/** No line: of a later version, which readers pass over, or what a banner begins with. */
const harmless: ReadonlySet<SkipReason> = new Set(['empty', 'unknown-type']);

/** What all lines share, over the whole run. What stood before the first sound line may be a boot loader's. */
export function checkLines(heard: readonly HeardLine[], said: readonly SaidLine[]): RigCheck[] {
  const first = heard.findIndex(({ frame }) => frame.type !== 'skipped');
  if (first < 0) return [];
  const lines = heard.slice(first);
  // The reset that opening a port may cause cuts a line, which is no fault.
  const boot = lines.findIndex(({ frame }) => frame.type === 'event' && frame.event === 'boot');
  return [
    checkForm(lines.slice(Math.max(0, boot))),
    checkLength(lines),
    checkSequence(lines),
    checkOneAnswer(lines, said),
    checkAnswerTime(heard, said),
  ];
}

function checkForm(lines: readonly HeardLine[]): RigCheck {
  const bad = lines.filter(
    ({ frame }) => frame.type === 'skipped' && frame.reason !== 'too-long' && !harmless.has(frame.reason),
  );
  const [first] = bad;
  const found = first
    ? `${bad.length} of ${lines.length} not, the first ${(first.frame as { reason: string }).reason}: ${first.text}`
    : `all of ${lines.length}`;
  return judged(
    'line-form',
    bad.length === 0,
    found,
    'lines with the form, the fields and the checksum promised',
  );
}

function checkLength(lines: readonly HeardLine[]): RigCheck {
  const tooLong = lines.filter(({ frame }) => frame.type === 'skipped' && frame.reason === 'too-long').length;
  const longest = Math.max(0, ...lines.map(({ text }) => text.length));
  const found = tooLong > 0 ? `${tooLong} longer` : `${longest} bytes the longest`;
  return judged('line-length', tooLong === 0, found, `at most ${MAX_LINE_BYTES} bytes`);
}

/** Every number once and in order; a gap only where the device says how many lines it dropped. */
function checkSequence(lines: readonly HeardLine[]): RigCheck {
  const { missing, doubled, backward } = lineNumbers(lines);
  const told = lines.reduce(
    (sum, { frame }) => sum + (frame.type === 'event' && frame.event === 'overrun' ? frame.value : 0),
    0,
  );
  return judged(
    'sequence',
    missing === told && doubled === 0 && backward === 0,
    `${missing} missing, ${doubled} doubled, ${backward} backward, ${told} told by overrun events`,
    'numbers one after the other, as many missing as told',
  );
}

/** Counted from the first answer on: before it, a boot loader swallows questions, or half of one. */
function checkOneAnswer(lines: readonly HeardLine[], said: readonly SaidLine[]): RigCheck {
  const answers = lines.flatMap(({ frame }) => (isAnswerFrame(frame) ? [frame] : []));
  const first = answers.findIndex(({ type }) => type === 'reply');
  const questions = said.filter(({ command, isAnswered }) => !isAnswered && command?.type === 'identify');
  const early = new Set(questions.map(({ command }) => command?.tag));
  const given = answers.slice(Math.max(0, first)).filter(({ tag }) => !early.has(tag)).length;
  const wanted = said.filter(({ isAnswered }) => isAnswered).length;
  return judged(
    'one-answer',
    given === wanted,
    `${given} answers`,
    `${wanted}, one to each line that wants one`,
  );
}

function checkAnswerTime(heard: readonly HeardLine[], said: readonly SaidLine[]): RigCheck {
  const wanted = `each within ${ANSWER_WITHIN_MS} ms`;
  let slowest_ms = 0;
  for (const { at_ms, command, isAnswered } of said) {
    if (command === null || !isAnswered) continue;
    const answer = heard.find(({ frame }) => isAnswerFrame(frame) && frame.tag === command.tag);
    const took_ms = answer ? answer.at_ms - at_ms : Number.POSITIVE_INFINITY;
    if (took_ms > ANSWER_WITHIN_MS)
      return judged(
        'answer-time',
        false,
        `${command.type} after ${answer ? `${took_ms.toFixed(0)} ms` : 'never'}`,
        wanted,
      );
    slowest_ms = Math.max(slowest_ms, took_ms);
  }
  return judged('answer-time', true, `${slowest_ms.toFixed(0)} ms the slowest`, wanted);
}
