import { MAX_LINE_BYTES, type RefusalCode, sealLine } from '../../firmware-protocol/index.js';
import type { ChannelIdentity, RigIdentity } from '../link/rig-identity.js';
import { identityOf } from './opening-checks.js';
import { judged, type RigCheck, type RigCheckCode } from './rig-check.js';
import { type AnswerLine, type RigConversation, textOf } from './rig-conversation.js';

/** Time in which something that must not come would have come. */
const QUIET_MS = 300;
/** A rate that a device takes is told to this share of itself, since clocks divide by whole numbers. */
const RATE_TOLERANCE = 0.01;

const sealed = (payload: string) => Buffer.from(sealLine(payload)).toString('latin1');

/** What a device at rest says to lines that are not commands it can do, and to those that are. */
export async function checkCommands(rig: RigConversation, identity: RigIdentity): Promise<RigCheck[]> {
  return [
    await checkRest(rig, 'rest'),
    refused('stop-at-rest', await rig.ask({ type: 'stop' }), 'STOP', 'not-running'),
    refused('unknown-command', await rig.askText(sealed('WIGGLE,7')), '?', 'unknown-command'),
    refused('bad-checksum', await rig.askText('ID,7*0000\n'), '?', 'bad-checksum'),
    await checkBadArguments(rig),
    await checkTooLong(rig),
    await checkSilence(rig, 'empty-line', () => rig.tellText('\n\r\n', 0)),
    accepted('carriage-return', await rig.askText(sealed('HALT,201').replace('\n', '\r\n')), 'HALT,201'),
    accepted('later-fields', await rig.askText(sealed('HALT,202,later,1')), 'HALT,202'),
    await checkSilence(rig, 'beat', () => rig.tell({ type: 'beat' })),
    await checkTare(rig),
    accepted('halt', await rig.ask({ type: 'halt' }), 'HALT'),
    await checkRates(rig, identity.channels),
    await checkImpossibleRates(rig, identity.channels),
  ];
}

/** No sample comes while nobody asked for samples. */
export async function checkRest(rig: RigConversation, code: 'rest' | 'rest-after-stop'): Promise<RigCheck> {
  const samples = (await rig.listen(QUIET_MS)).filter(({ frame }) => frame.type === 'sample');
  return judged(code, samples.length === 0, `${samples.length} samples`, `none in ${QUIET_MS} ms`);
}

/** Judges an answer that must refuse. @param command as the refusal names it */
export function refused(
  code: RigCheckCode,
  answer: AnswerLine | null,
  command: string,
  refusal: RefusalCode,
): RigCheck {
  const isSaid =
    answer?.frame.type === 'refusal' &&
    answer.frame.code === refusal &&
    (answer.frame.command === 'unreadable') === (command === '?') &&
    (command !== '?' || answer.frame.tag === 0);
  return judged(code, isSaid, textOf(answer), `N,…,${command},${command === '?' ? 0 : '…'},${refusal}`);
}

/** Judges an answer that must say that a command was done. */
export function accepted(code: RigCheckCode, answer: AnswerLine | null, command: string): RigCheck {
  return judged(code, answer?.frame.type === 'reply', textOf(answer), `A,…,${command}`);
}

/** Fields with a wrong form. A number has one spelling. */
const badArguments = ['ID', 'ID,256', 'ID,07', 'ID,+7', 'RATE,7,force', 'RATE,7,warmth,1000'];

async function checkBadArguments(rig: RigConversation): Promise<RigCheck> {
  for (const payload of badArguments) {
    const check = refused('bad-argument', await rig.askText(sealed(payload)), '?', 'bad-argument');
    if (check.outcome === 'failed') return { ...check, found: `${check.found} to '${payload}'` };
  }
  return judged('bad-argument', true, `so for all ${badArguments.length}`, 'N,…,?,0,bad-argument');
}

/** A line beyond the limit is refused as a whole, and the next one is read. */
async function checkTooLong(rig: RigConversation): Promise<RigCheck> {
  const text = sealed('TARE,7,').replace('*', `${'x'.repeat(3 * MAX_LINE_BYTES)}*`);
  const check = refused('too-long', await rig.askText(text), '?', 'bad-checksum');
  if (check.outcome === 'failed') return check;
  const next = await rig.ask({ type: 'halt' });
  return { ...accepted('too-long', next, 'HALT'), wanted: `${check.wanted}, and the next line is answered` };
}

async function checkSilence(rig: RigConversation, code: RigCheckCode, act: () => void): Promise<RigCheck> {
  const from = rig.heard.length;
  act();
  await rig.listen(QUIET_MS);
  const said = rig.heard.slice(from).find(({ frame }) => frame.type !== 'sample');
  return judged(code, said === undefined, said ? textOf(said) : 'nothing', 'no answer at all');
}

async function checkTare(rig: RigConversation): Promise<RigCheck> {
  const from = rig.heard.length;
  const answer = await rig.ask({ type: 'tare' });
  const { tag } = rig.said.at(-1)!.command!;
  const event = await rig.waitFor(({ frame }) => frame.type === 'event', QUIET_MS, from);
  const isMarked = event?.frame.type === 'event' && event.frame.event === 'tare' && event.frame.value === tag;
  return judged(
    'tare',
    answer?.frame.type === 'reply' && isMarked,
    `${textOf(answer)} and ${event ? textOf(event) : 'no event'}`,
    `A,…,TARE,${tag} and E,…,tare,${tag}`,
  );
}

/** A device takes the rate that it has, and tells it again. */
async function checkRates(rig: RigConversation, channels: readonly ChannelIdentity[]): Promise<RigCheck> {
  const wanted = 'the rate it told is taken, and told again';
  for (const { kind, rate_mHz } of channels) {
    const answer = await rig.ask({ type: 'rate', kind, rate_mHz });
    if (answer?.frame.type !== 'reply') return judged('rate', false, textOf(answer), wanted);
  }
  const from = rig.heard.length;
  await rig.ask({ type: 'identify' });
  const told = identityOf(rig.heard.slice(from))?.channels ?? [];
  for (const { kind, rate_mHz } of channels) {
    const now_mHz = told.find((channel) => channel.kind === kind)?.rate_mHz ?? Number.NaN;
    if (!(Math.abs(now_mHz / rate_mHz - 1) <= RATE_TOLERANCE))
      return judged('rate', false, `${kind} asked for ${rate_mHz} mHz, told ${now_mHz} mHz`, wanted);
  }
  const rates = told.map(({ kind, rate_mHz }) => `${kind} ${rate_mHz} mHz`).join(', ');
  return judged('rate', true, rates, wanted);
}

async function checkImpossibleRates(
  rig: RigConversation,
  channels: readonly ChannelIdentity[],
): Promise<RigCheck> {
  for (const { kind } of channels)
    for (const rate_mHz of [0, 2 ** 32 - 1]) {
      const answer = await rig.ask({ type: 'rate', kind, rate_mHz });
      const check = refused('rate-refused', answer, 'RATE', 'bad-argument');
      if (check.outcome === 'failed')
        return { ...check, found: `${check.found} to ${kind} at ${rate_mHz} mHz` };
    }
  return judged('rate-refused', true, 'so for 0 and 4294967295 mHz', 'N,…,RATE,…,bad-argument');
}
