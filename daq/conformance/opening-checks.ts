import { PROTOCOL_VERSION } from '../../firmware-protocol/index.js';
import type { ChannelIdentity, RigIdentity } from '../link/rig-identity.js';
import { judged, type RigCheck, unseen } from './rig-check.js';
import { type HeardLine, isAnswerFrame, type RigConversation, textOf } from './rig-conversation.js';

const ASK_EVERY_MS = 250;
const GIVE_UP_AFTER_MS = 3000;
/** Answers to questions that were still under way are let come. */
const SETTLE_MS = 300;

/** Asks who is there, through a boot loader and a reset on opening, as hosts do. */
export async function checkAnswers(rig: RigConversation): Promise<RigCheck> {
  const wanted = `an answer to ID within ${GIVE_UP_AFTER_MS / 1000} s`;
  const isAnswer = ({ frame }: HeardLine) => frame.type === 'reply' && frame.command === 'identify';
  for (let waited_ms = 0; waited_ms < GIVE_UP_AFTER_MS; waited_ms += ASK_EVERY_MS) {
    rig.tellText('\n', 0);
    rig.tell({ type: 'identify' }, false);
    const answer = await rig.waitFor(isAnswer, ASK_EVERY_MS);
    if (answer === null) continue;
    await rig.listen(SETTLE_MS);
    return judged('answers', true, textOf(answer), wanted);
  }
  const sound = rig.heard.filter(({ frame }) => frame.type !== 'skipped').length;
  const found =
    rig.heard.length === 0
      ? 'no line at all; is it powered, and is this its baud rate?'
      : `${rig.heard.length} lines, ${sound} of them sound, but no answer`;
  return judged('answers', false, found, wanted);
}

/**
 * A reset sends a newline first and then the boot event, as line 0. Seen only where opening the port reset the device,
 * or where it sends a line 0 for another reason.
 */
export function checkBanner(heard: readonly HeardLine[]): RigCheck {
  const wanted = 'once after a reset: a newline, then the boot event as line 0';
  const boots = heard.flatMap(({ frame }, i) =>
    frame.type === 'event' && frame.event === 'boot' ? [i] : [],
  );
  const [boot, again] = boots;
  const first = heard.find(({ frame }) => frame.type !== 'skipped');
  if (boot === undefined)
    return first !== undefined && first.frame.type !== 'skipped' && first.frame.sequence === 0
      ? judged('banner', false, `line 0 is ${first.text}`, wanted)
      : unseen('banner', 'no reset when the port was opened', wanted);
  if (again !== undefined)
    return judged('banner', false, `a second one after ${again - boot} lines: ${heard[again]!.text}`, wanted);
  const { frame, text } = heard[boot]!;
  if (heard.slice(0, boot).some((line) => isAnswerFrame(line.frame)))
    return judged('banner', false, `${text} in mid-run: it restarted`, wanted);
  // Whatever the reset cut, its line was ended before the banner; on a clean line that leaves an empty one.
  const isEnded = boot > 0 && heard[boot - 1]!.frame.type === 'skipped';
  if (!isEnded) return judged('banner', false, `${text} without a newline before it`, wanted);
  return judged('banner', frame.type !== 'skipped' && frame.sequence === 0, text, wanted);
}

/** Asks a device at rest what it is. @returns the identity where it is whole */
export async function checkIdentity(
  rig: RigConversation,
): Promise<{ check: RigCheck; identity: RigIdentity | null }> {
  const wanted = `I of version ${PROTOCOL_VERSION}, its C lines, V with a drive, then A, one after the other`;
  const from = rig.heard.length;
  const answer = await rig.ask({ type: 'identify' });
  const lines = rig.heard.slice(from).filter(({ frame }) => frame.type !== 'skipped');
  const identity = answer === null ? null : identityOf(lines);
  const found = lines.map(({ text }) => text.slice(0, text.indexOf(','))).join(' ') || textOf(answer);
  if (identity === null) return { check: judged('identity', false, found, wanted), identity };
  const { rigName, firmware } = identity;
  return { check: judged('identity', true, `${found}: '${rigName}', ${firmware}`, wanted), identity };
}

/** Reads the lines of one answer to `ID`: none missing, doubled or out of place; samples and events may come between. */
export function identityOf(lines: readonly HeardLine[]): RigIdentity | null {
  const frames = lines.flatMap(({ frame }) => (isBetween(frame) ? [] : [frame]));
  const [first, ...rest] = frames;
  if (first?.type !== 'identity' || first.protocolVersion !== PROTOCOL_VERSION) return null;
  const channels: ChannelIdentity[] = [];
  while (rest[0]?.type === 'channel') {
    const {
      type: _type,
      sequence: _sequence,
      ...channel
    } = rest.shift() as (typeof rest)[0] & { type: 'channel' };
    channels.push(channel);
  }
  const drive = rest[0]?.type === 'drive' ? (rest.shift() as (typeof rest)[0] & { type: 'drive' }) : null;
  const last = rest.shift();
  const isWhole =
    channels.length === first.channelCount &&
    (first.drive === 'speed') === (drive !== null) &&
    last?.type === 'reply' &&
    last.command === 'identify' &&
    rest.length === 0;
  if (!isWhole) return null;
  const { protocolVersion, firmware, rigName } = first;
  return {
    protocolVersion,
    firmware,
    rigName,
    channels,
    drive: drive && {
      speedMin_mHz: drive.speedMin_mHz,
      speedMax_mHz: drive.speedMax_mHz,
      lease_ms: drive.lease_ms,
    },
  };
}

function isBetween(
  frame: HeardLine['frame'],
): frame is Extract<HeardLine['frame'], { type: 'skipped' | 'sample' | 'event' }> {
  return frame.type === 'skipped' || frame.type === 'sample' || frame.type === 'event';
}

/** What a host needs of the channels to make a recording of them. */
export function checkChannels({ channels, drive }: RigIdentity): RigCheck {
  const problems = [
    ...(['force', 'position'] as const).flatMap((kind) => {
      const count = channels.filter((channel) => channel.kind === kind).length;
      return count === 1 ? [] : [`${count} ${kind} channels`];
    }),
    ...channels.flatMap(({ kind, unit, counts_min, counts_max, rate_mHz }) => [
      ...(counts_min < counts_max ? [] : [`${kind} from ${counts_min} to ${counts_max}`]),
      ...(rate_mHz > 0 ? [] : [`${kind} at no rate`]),
      ...((unit === 'mdegC') === (kind === 'temperature') ? [] : [`${kind} in ${unit}`]),
    ]),
    ...(drive === null || (drive.speedMin_mHz <= drive.speedMax_mHz && drive.lease_ms > 0)
      ? []
      : [`a drive from ${drive.speedMin_mHz} to ${drive.speedMax_mHz} mHz, lease ${drive.lease_ms} ms`]),
  ];
  const told = channels.map(({ kind, unit, rate_mHz }) => `${kind} in ${unit} at ${rate_mHz / 1000}/s`);
  return judged(
    'channels',
    problems.length === 0,
    (problems.length > 0 ? problems : told).join(', '),
    'one force and one position in counts, a temperature in mdegC, lower limits below upper ones',
  );
}
