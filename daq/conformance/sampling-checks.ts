import type { SampleFrame } from '../../firmware-protocol/index.js';
import type { ChannelIdentity, RigIdentity } from '../link/rig-identity.js';
import { accepted, checkRest, refused } from './command-checks.js';
import { lineNumbers } from './line-numbers.js';
import { identityOf } from './opening-checks.js';
import { judged, type RigCheck } from './rig-check.js';
import { type HeardLine, type RigConversation, textOf } from './rig-conversation.js';

const CAPTURE_MS = 3000;
/** Converters with an internal oscillator are some per cent off what they declare. */
const RATE_TOLERANCE = 0.1;
/** Arrival jitters by some tens of milliseconds in 3 s. */
const CLOCK_TOLERANCE = 0.05;
/** A longer step without a missing line means that the converter skipped. */
const LONGEST_STEP_PERIODS = 1.5;
const CLOCK_RANGE_US = 2 ** 32;

interface Sample {
  readonly at_ms: number;
  readonly frame: SampleFrame;
  /** Lines missing so far. */
  readonly missing: number;
}

/** Starts samples, looks at 3 s of them, and stops them. */
export async function checkSampling(rig: RigConversation, identity: RigIdentity): Promise<RigCheck[]> {
  const start = accepted('start', await rig.ask({ type: 'start' }), 'START');
  const from = rig.heard.length;
  const commands = [
    start,
    refused('start-twice', await rig.ask({ type: 'start' }), 'START', 'busy'),
    refused('rate-while-sampling', await askForSameRate(rig, identity.channels), 'RATE', 'busy'),
    await checkIdentifyWhileSampling(rig),
  ];
  const captured = samplesOf(await rig.listen(CAPTURE_MS));
  const stop = await checkStop(rig, from);
  return [
    ...commands,
    checkMeasuredRates(captured, identity.channels),
    checkStamps(captured, identity.channels),
    checkClock(captured),
    checkCounts(captured, identity.channels),
    stop,
    await checkRest(rig, 'rest-after-stop'),
  ];
}

const askForSameRate = (rig: RigConversation, [channel]: readonly ChannelIdentity[]) =>
  rig.ask({ type: 'rate', kind: channel!.kind, rate_mHz: channel!.rate_mHz });

async function checkIdentifyWhileSampling(rig: RigConversation): Promise<RigCheck> {
  const from = rig.heard.length;
  const answer = await rig.ask({ type: 'identify' });
  const identity = identityOf(rig.heard.slice(from));
  const found = identity ? textOf(answer) : `no whole identity, ${textOf(answer)}`;
  return judged('identify-while-sampling', identity !== null, found, 'I, C lines, V with a drive, A');
}

/** The answer to `STOP` owns up to what is missing since `START`, by the line numbers. */
async function checkStop(rig: RigConversation, from: number): Promise<RigCheck> {
  const answer = await rig.ask({ type: 'stop' });
  const { missing } = lineNumbers(rig.heard.slice(from));
  const dropped = answer?.frame.type === 'reply' ? answer.frame.fields[0] : undefined;
  return judged(
    'stop',
    dropped === String(missing),
    textOf(answer),
    `A,…,STOP,…,${missing}, as numbers miss`,
  );
}

function samplesOf(lines: readonly HeardLine[]): Sample[] {
  const { missingUpTo } = lineNumbers(lines);
  return lines.flatMap(({ at_ms, frame }, i) =>
    frame.type === 'sample' ? [{ at_ms, frame, missing: missingUpTo[i]! }] : [],
  );
}

const ofKind = (samples: readonly Sample[], kind: string) =>
  samples.filter(({ frame }) => frame.kind === kind);

/** From one stamp to the next, the shorter way round the clock's range. */
function stepsOf(samples: readonly Sample[]): number[] {
  return samples.slice(1).map(({ frame }, i) => {
    const before_us = samples[i]!.frame.deviceTime_us;
    const ahead_us = (frame.deviceTime_us - before_us + CLOCK_RANGE_US) % CLOCK_RANGE_US;
    return ahead_us < CLOCK_RANGE_US / 2 ? ahead_us : ahead_us - CLOCK_RANGE_US;
  });
}

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);

/** Every declared channel sends, at its rate by its own stamps. Few samples, as of a temperature, are counted instead. */
function checkMeasuredRates(captured: readonly Sample[], channels: readonly ChannelIdentity[]): RigCheck {
  const measured = channels.map(({ kind, rate_mHz }) => {
    const declared_Hz = rate_mHz / 1000;
    const samples = ofKind(captured, kind);
    const expected = (declared_Hz * CAPTURE_MS) / 1000;
    const rate_Hz = (1e6 * (samples.length - 1)) / sum(stepsOf(samples));
    const isFew = expected < 10;
    const passed = isFew
      ? samples.length >= Math.floor(expected) - 1
      : Math.abs(rate_Hz / declared_Hz - 1) <= RATE_TOLERANCE;
    const found = isFew || samples.length < 2 ? `${samples.length} samples` : `${rate_Hz.toFixed(1)}/s`;
    return { passed, found: `${kind} ${found}`, wanted: `${kind} ${declared_Hz}/s` };
  });
  const undeclared = captured.filter(({ frame }) => !channels.some(({ kind }) => kind === frame.kind));
  return judged(
    'rates',
    measured.every(({ passed }) => passed) && undeclared.length === 0,
    [...measured, ...undeclared.slice(0, 1).map(({ frame }) => ({ found: `undeclared ${frame.kind}` }))]
      .map(({ found }) => found)
      .join(', '),
    `${measured.map(({ wanted }) => wanted).join(', ')}, each within ${100 * RATE_TOLERANCE} %`,
  );
}

/** Within a channel time goes forward, in even steps wherever no line is missing. */
function checkStamps(captured: readonly Sample[], channels: readonly ChannelIdentity[]): RigCheck {
  const results = channels.flatMap(({ kind }) => {
    const samples = ofKind(captured, kind);
    const steps_us = stepsOf(samples);
    if (steps_us.length < 2) return [];
    const whole_us = steps_us.filter((_, i) => samples[i]!.missing === samples[i + 1]!.missing);
    const middle_us = steps_us.toSorted((a, b) => a - b)[steps_us.length >> 1]!;
    const [shortest, longest] = [Math.min(...steps_us), Math.max(...whole_us)];
    const isEven = shortest > 0 && longest <= LONGEST_STEP_PERIODS * middle_us;
    return [{ isEven, found: `${kind} ${shortest} to ${longest} µs` }];
  });
  return judged(
    'stamps',
    results.length > 0 && results.every(({ isEven }) => isEven),
    results.map(({ found }) => found).join(', ') || 'no two samples',
    `steps above 0, none over ${LONGEST_STEP_PERIODS} of the usual one unless lines are missing`,
  );
}

/** The device's microseconds are microseconds, as far as arrival can tell. */
function checkClock(captured: readonly Sample[]): RigCheck {
  const wanted = `1 s to the second, within ${100 * CLOCK_TOLERANCE} %`;
  const kind = captured[0]?.frame.kind;
  const same = captured.filter(({ frame }) => frame.kind === kind);
  const host_ms = same.length < 2 ? 0 : same.at(-1)!.at_ms - same[0]!.at_ms;
  if (host_ms === 0) return judged('clock', false, 'no two samples', wanted);
  const ratio = sum(stepsOf(same)) / 1000 / host_ms;
  return judged('clock', Math.abs(ratio - 1) <= CLOCK_TOLERANCE, `${ratio.toPrecision(4)} s`, wanted);
}

/** Nothing beyond the limits that a channel declares. */
function checkCounts(captured: readonly Sample[], channels: readonly ChannelIdentity[]): RigCheck {
  const results = channels.flatMap(({ kind, counts_min, counts_max }) => {
    const counts = ofKind(captured, kind).map(({ frame }) => frame.counts);
    if (counts.length === 0) return [];
    const [least, most] = [Math.min(...counts), Math.max(...counts)];
    const isWithin = least >= counts_min && most <= counts_max;
    const isSaturated = least <= counts_min || most >= counts_max;
    const found = `${kind} ${least} to ${most}${isWithin && isSaturated ? ' (at its limit: is it wired?)' : ''}`;
    return [{ isWithin, found, wanted: `${kind} ${counts_min} to ${counts_max}` }];
  });
  return judged(
    'counts',
    results.length > 0 && results.every(({ isWithin }) => isWithin),
    results.map(({ found }) => found).join(', ') || 'no samples',
    results.map(({ wanted }) => wanted).join(', ') || 'samples',
  );
}
