import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { recogniseProcedure } from '../../analysis/identification/procedure.js';
import {
  type AnalysisOutcome,
  analyzeRecording,
  makeTrace,
  type RecordingAnalysis,
  type TraceInput,
} from '../../analysis/index.js';
import type { Stroke } from '../../analysis/kinematics/strokes.js';
import { randomFrom } from './played/random.js';
import { playLadder } from './played/recording.js';

const { trace: sound } = playLadder(1, { rate_Hz: 200 });
const { time_s, force_N } = sound.force;
const { position_m } = sound.position;
const n = time_s.length;

/** The sound recording with one of its channels, or its times, changed. */
function recording(change: {
  time_s?: Float64Array;
  force_N?: Float64Array;
  position_m?: Float64Array;
  position_s?: Float64Array;
}): TraceInput {
  const times = change.time_s ?? time_s;
  return {
    force: { time_s: times, force_N: change.force_N ?? force_N },
    position: { time_s: change.position_s ?? times, position_m: change.position_m ?? position_m },
  };
}

function outcomeOf(input: TraceInput): AnalysisOutcome {
  const made = makeTrace(input);
  return made.ok ? analyzeRecording(made.trace) : made;
}

function analysed(input: TraceInput): RecordingAnalysis {
  const outcome = outcomeOf(input);
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.found}`);
  return outcome.analysis;
}

const dragOf = (input: TraceInput) => analysed(input).friction.mean_N!.value;
const drag_N = dragOf(recording({}));
const often = (i: number) => i % 3001 === 1500;

describe('a recording on an odd clock gives the same drag', () => {
  it.each([
    ['seconds since 1970', time_s.map((t) => t + 1.7640324e9)],
    ['seconds since 1970, in microseconds', time_s.map((t) => Math.round((t + 1.7640324e9) * 1e6) / 1e6)],
    ['times below zero', time_s.map((t) => t - 1e5)],
    ['an hour of nothing in the middle', time_s.map((t, i) => (i > n / 2 ? t + 3600 : t))],
    ['eleven days of nothing in the middle', time_s.map((t, i) => (i > n / 2 ? t + 1e6 : t))],
    ['a pause after each quarter', time_s.map((t, i) => t + 7200 * Math.floor((4 * i) / n))],
  ])('%s', (_, times) => {
    expect(Math.abs(dragOf(recording({ time_s: times })) / drag_N - 1)).toBeLessThan(0.005);
  });

  it('and is drawn at its own times', () => {
    const shift = (t: number) => (t > 20 ? t + 1e6 : t);
    const outcome = outcomeOf(recording({ time_s: time_s.map(shift) }));
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    const own = new Set(time_s.map(shift).map((t) => Math.round(t * 1e5)));
    for (const t of outcome.picture.points.time_s) expect(own).toContain(Math.round(t * 1e5));
  });
});

describe('single wild samples are left out, counted, and change nothing', () => {
  it.each([
    ['a force of a meganewton', { force_N: force_N.map((f, i) => (often(i) ? 1e6 : f)) }],
    ['a force of 1e308 N', { force_N: force_N.map((f, i) => (often(i) ? 1e308 : f)) }],
    ['a force of four times the usual', { force_N: force_N.map((f, i) => (often(i) ? f + 40 : f)) }],
    ['a position of 1 m', { position_m: position_m.map((x, i) => (often(i) ? 1 : x)) }],
    ['a position half a millimetre off', { position_m: position_m.map((x, i) => (often(i) ? x + 5e-4 : x)) }],
    ['a position of -1e308 m', { position_m: position_m.map((x, i) => (often(i) ? -1e308 : x)) }],
  ])('%s', (_, change) => {
    const { friction, findings } = analysed(recording(change));
    expect(Math.abs(friction.mean_N!.value / drag_N - 1)).toBeLessThan(0.005);
    const missing = findings.find(({ code }) => code === 'samples-missing');
    expect(missing?.values.samples).toBe(time_s.filter((_t, i) => often(i)).length);
  });

  it('but blows against a hard stop are none of them', () => {
    const stopped = playLadder(4, {
      rate_Hz: 320,
      change: (shock) => ({ ...shock, stop: { position_m: 0.014, stiffness_N_per_m: 60e3 } }),
    });
    expect(analysed(stopped.trace).findings.map(({ code }) => code)).not.toContain('samples-missing');
  });
});

describe('what no shock on a rig gives is refused by what it is', () => {
  const all = (value: number) => new Float64Array(n).fill(value);
  it.each<[string, string, Parameters<typeof recording>[0]]>([
    ['force and position at different hours', 'no-overlap', { position_s: time_s.map((t) => t + 3600) }],
    ['force and position just after each other', 'no-overlap', { position_s: time_s.map((t) => t + 39.9) }],
    ['a cell at its limits throughout', 'all-saturated', { force_N: force_N.map((f) => (f > 0 ? 2 : -2)) }],
    ['microseconds taken for seconds', 'out-of-range', { time_s: time_s.map((t) => 1e6 * t) }],
    ['seconds taken for microseconds', 'out-of-range', { time_s: time_s.map((t) => 1e-6 * t) }],
    [
      'stamps in bursts',
      'out-of-range',
      { time_s: time_s.map((_t, i) => time_s[i - (i % 32)] + (i % 32) * 1e-9) },
    ],
    ['a constant force', 'constant-force', { force_N: all(3) }],
    ['a constant position', 'no-motion', { position_m: all(0.01) }],
    ['forces too small for a float', 'constant-force', { force_N: force_N.map((f) => f * 5e-322) }],
    ['positions too small for a float', 'no-motion', { position_m: position_m.map((x) => x * 5e-322) }],
    ['forces that overflow', 'out-of-range', { force_N: force_N.map((f) => f * 1e306) }],
    ['positions that overflow', 'out-of-range', { position_m: position_m.map((x) => x * 1e300) }],
    [
      'a position that jumps from end to end',
      'no-motion',
      { position_m: position_m.map((_x, i) => 0.02 * (i % 2)) },
    ],
    ['a position of noise', 'no-motion', { position_m: noise(7, 5e-3) }],
    ['a position that creeps one way', 'no-motion', { position_m: position_m.map((_x, i) => i * 1e-6) }],
  ])('%s', (_, code, change) => {
    const outcome = outcomeOf(recording(change));
    expect(outcome.ok ? 'analysed' : outcome.refusal.code).toBe(code);
  });
});

function noise(seed: number, size: number): Float64Array {
  const random = randomFrom(seed);
  return Float64Array.from({ length: n }, () => size * random.normal());
}

describe('force that is noise alone', () => {
  it('gives no confident drag: the interval holds zero about as often as it says', () => {
    const sure = [1, 2, 3, 4, 5, 6, 7, 8].filter((seed) => {
      const outcome = outcomeOf(recording({ force_N: noise(seed, 1) }));
      const mean = outcome.ok ? outcome.analysis.friction.mean_N : null;
      return mean && (mean.low95 > 0 || mean.high95 < 0);
    });
    // At 95 % two or more of eight happen in one run of seventeen; three or more in one of a hundred and seventy.
    expect(sure.length).toBeLessThan(3);
  });
});

describe('hundreds of thousands of strokes', () => {
  it('have a procedure', () => {
    const stroke = (k: number): Stroke => ({
      direction: k % 2 ? 'rebound' : 'compression',
      ...{ start: k, end: k + 1, start_s: k, end_s: k + 1, amplitude_m: 0.02, complete: true },
      peakSpeed_m_per_s: k % 4 < 2 ? 0.1 : 0.2,
    });
    const strokes = Array.from({ length: 400_000 }, (_, k) => stroke(k));
    type Motion = Parameters<typeof recogniseProcedure>[0];
    type Traced = Parameters<typeof recogniseProcedure>[1];
    const trace = { force: { time_s, force_N }, position: { time_s, position_m } } as unknown as Traced;
    expect(recogniseProcedure({ strokes: { strokes } } as unknown as Motion, trace)).toBe('speed-ladder');
  });
});

/** A stroked shock, by its size, speed, rate and noise, some of them beyond anything a rig would do. */
const stroked = fc.record({
  cycles: fc.double({ min: 0.5, max: 15, noNaN: true }),
  travel_m: fc.constantFrom(2e-4, 5e-3, 0.02, 0.02, 0.1),
  rate_Hz: fc.constantFrom(10, 80, 320, 1000),
  noise_N: fc.constantFrom(0, 1e-3, 1e-2, 1),
  drag_N: fc.constantFrom(-2, 0, 0.5, 100),
  step_m: fc.constantFrom(0, 1e-5, 1e-5, 1e-3),
  count: fc.integer({ min: 300, max: 1500 }),
  seed: fc.integer({ min: 1, max: 1e6 }),
});

type Stroked = typeof stroked extends fc.Arbitrary<infer T> ? T : never;

function recordingOf({
  cycles,
  travel_m,
  rate_Hz,
  noise_N,
  drag_N,
  step_m,
  count,
  seed,
}: Stroked): TraceInput {
  const random = randomFrom(seed);
  const times = Float64Array.from({ length: count }, (_, i) => i / rate_Hz);
  // Ever faster, so that drag and damping can be told apart.
  const angle = times.map((_t, i) => 2 * Math.PI * cycles * (i / count) ** 2);
  const moved = angle.map((a) => 0.5 * travel_m * (1 - Math.cos(a)));
  return {
    force: {
      time_s: times,
      force_N: angle.map((a) => 1 + drag_N * Math.sign(Math.sin(a)) + noise_N * random.normal()),
    },
    position: {
      time_s: times,
      position_m: step_m > 0 ? moved.map((x) => step_m * Math.round(x / step_m)) : moved,
    },
  };
}

type Damage = (values: Float64Array, from: number, to: number) => Float64Array;
const damages: Readonly<Record<string, Damage>> = {
  held: (values, from, to) => values.map((x, i) => (i > from && i < to ? values[from] : x)),
  zeroed: (values, from, to) => values.map((x, i) => (i > from && i < to ? 0 : x)),
  jumped: (values, from) => values.map((x, i) => (i > from ? x + 3 : x)),
  larger: (values, from, to) => values.map((x, i) => (i > from && i < to ? 50 * x : x)),
  huge: (values, from, to) => values.map((x, i) => (i > from && i < to ? 1e300 * x : x)),
  upsideDown: (values) => values.map((x) => -x),
  noNumber: (values, from) => values.map((x, i) => (i === from ? Number.NaN : x)),
  reversed: (values) => values.slice().reverse(),
  offset: (values) => values.map((x) => x + 1e6),
};
const clocks: Readonly<Record<string, Damage>> = {
  paused: (values, from) => values.map((t, i) => (i > from ? t + 1e5 : t)),
  early: (values, from) => values.map((t) => t - values[from]),
  twice: (values, from) => values.map((t, i) => (i > from ? t - 1 : t)),
  slower: (values, from, to) => values.map((t, i) => t + Math.max(0, Math.min(i, to) - from) * 0.3),
};

/** Finite estimates in order, or a reason in numbers; says whether it was analysed. */
function expectNumbersOrReason(input: TraceInput): boolean {
  const outcome = outcomeOf(input);
  if (!outcome.ok) {
    expect(outcome.refusal.found).not.toMatch(/NaN|undefined/);
    return false;
  }
  expect(notNumbers(outcome.analysis)).toEqual([]);
  for (const { low95, value, high95, standardError } of estimatesIn(outcome.analysis)) {
    expect(low95).toBeLessThanOrEqual(value);
    expect(high95).toBeGreaterThanOrEqual(value);
    expect(standardError).toBeGreaterThanOrEqual(0);
  }
  return true;
}

describe('any recording gives finite estimates in order, or a reason', () => {
  const sampled = { seed: 2026, numRuns: 50 };
  const share = fc.double({ min: 0, max: 1, noNaN: true });
  const oneOf = (of: Readonly<Record<string, unknown>>) => fc.constantFrom(...Object.keys(of));

  it('of a stroked shock', () => {
    let analysedOnes = 0;
    fc.assert(
      fc.property(stroked, (whole) => {
        if (expectNumbersOrReason(recordingOf(whole))) analysedOnes++;
      }),
      sampled,
    );
    // A property of nothing but refusals would prove nothing.
    expect(analysedOnes).toBeGreaterThan(10);
  });

  it('that is damaged in any way', () => {
    let analysedOnes = 0;
    const places = ['force', 'position', 'force clock', 'position clock', 'both clocks'] as const;
    fc.assert(
      fc.property(
        stroked,
        fc.constantFrom(...places),
        oneOf(damages),
        oneOf(clocks),
        share,
        share,
        (...drawn) => {
          const [whole, place, damage, clock, a, b] = drawn;
          const { force, position } = recordingOf(whole);
          const last = force.time_s.length - 1;
          const change = (by: Damage, where: boolean, values: Float64Array) =>
            where ? by(values, Math.floor(Math.min(a, b) * last), Math.floor(Math.max(a, b) * last)) : values;
          const at = (...here: (typeof places)[number][]) => here.includes(place);
          const analysedOne = expectNumbersOrReason({
            force: {
              time_s: change(clocks[clock], at('force clock', 'both clocks'), force.time_s),
              force_N: change(damages[damage], at('force'), force.force_N),
            },
            position: {
              time_s: change(clocks[clock], at('position clock', 'both clocks'), position.time_s),
              position_m: change(damages[damage], at('position'), position.position_m),
            },
          });
          if (analysedOne) analysedOnes++;
        },
      ),
      sampled,
    );
    expect(analysedOnes).toBeGreaterThan(10);
  });
});

/** Dotted paths of numbers that are none. */
function notNumbers(value: unknown, path = ''): string[] {
  if (typeof value === 'number') return Number.isFinite(value) ? [] : [path];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, part]) => notNumbers(part, `${path}.${key}`));
}

type Interval = { low95: number; value: number; high95: number; standardError: number };

function estimatesIn(value: unknown): Interval[] {
  if (typeof value !== 'object' || value === null) return [];
  if ('standardError' in value) return [value as Interval];
  return Object.values(value).flatMap(estimatesIn);
}
