import { recordedMotion } from '../../analysis/identification/prepare.js';
import {
  analyzeRecording,
  type Estimate,
  makeTrace,
  type RecordingAnalysis,
  type Trace,
} from '../../analysis/index.js';
import { randomFrom } from '../analysis/played/random.js';
import { type Played, playLadder, playSlowSweep } from '../analysis/played/recording.js';
import type { PlayedShock } from '../analysis/played/shock.js';
import type { Figures } from './benchmark.js';
import { sharpness } from './cramer-rao.js';

export const name = 'coverage';
export const what =
  'how often 95 % intervals hold the played truth, and their width over the Cramér–Rao bound; ' +
  'COVERAGE_RECORDINGS of them, 64 where it is not set, from seed COVERAGE_FIRST';

/**
 * Of ten recordings four are plain ladders, four are seen through a slow converter, two are slow sweeps. On half of the
 * ladders the oil's turbulence rises with a power from 1.8 to 2 of speed, which no fit assumes.
 */
const kinds = [
  'ladder',
  'ladder',
  'bent ladder',
  'bent ladder',
  'converter',
  'converter',
  'bent converter',
  'bent converter',
  'sweep',
  'sweep',
];

function play(seed: number): { readonly kind: string; readonly played: Played } {
  const kind = kinds[seed % kinds.length]!;
  if (kind === 'sweep') return { kind, played: playSlowSweep(seed) };
  const turbulentPower = kind.startsWith('bent') ? randomFrom(1_000_000 + seed).uniform(1.8, 2) : 2;
  const change = (shock: PlayedShock) => ({ ...shock, turbulentPower });
  const seen = kind.endsWith('converter')
    ? ({ rate_Hz: 80, kernel: seed % 2 ? 'sinc3' : 'sinc4' } as const)
    : {};
  return { kind, played: playLadder(seed, { ...seen, change }) };
}

/** What one estimate was worth. */
interface Trial {
  readonly held: boolean;
  /** Error over standard error. */
  readonly z: number;
  readonly error: number;
}

type Trials = Record<string, { trials: Trial[]; missing: number }>;

/** Every estimate a recording's analysis prints, beside the truth it was played with. */
function* estimatesAndTruths(
  analysis: RecordingAnalysis,
  { shock, rig, trace }: Played,
): Generator<[quantity: string, estimate: Estimate | null, truth: number]> {
  const { friction, damping, gas } = analysis;
  const mean_N = 0.5 * (shock.dragCompression_N + shock.dragRebound_N);
  yield ['friction.mean', friction.mean_N, mean_N];
  yield ['friction.compression', friction.compression_N, shock.dragCompression_N];
  yield ['friction.rebound', friction.rebound_N, shock.dragRebound_N];
  yield ['friction.breakaway', friction.breakaway_N, mean_N * shock.breakawayRatio];
  const moved = recordedMotion(trace);
  const fastest = moved.ok ? moved.motion.fastest_m_per_s : Number.NaN;
  const power = shock.turbulentPower ?? 2;
  for (const side of ['compression', 'rebound'] as const) {
    yield [`damping.${side}.linear`, damping[side].linear_Ns_per_m, shock[side].linear];
    // What is quadratic of a bent curve is meant at top speed.
    const quadratic = shock[side].quadratic * fastest ** (power - 2);
    yield [`damping.${side}.quadratic`, damping[side].quadratic_Ns2_per_m2, quadratic];
  }
  for (const point of damping.curve) {
    const v = point.velocity_m_per_s;
    if (Math.abs(v) < 0.19 * fastest) continue;
    const { linear, quadratic } = shock[v > 0 ? 'compression' : 'rebound'];
    const estimate = {
      value: point.force_N,
      standardError: point.standardError_N,
      low95: point.low95_N,
      high95: point.high95_N,
    };
    yield ['damping.curve', estimate, linear * v + quadratic * Math.sign(v) * Math.abs(v) ** power];
  }
  const positions = trace.position.position_m;
  const low_m = positions.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high_m = positions.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const gas_N = (x: number) => {
    const { area_m2, pressure_Pa, volume_m3, exponent } = shock.gas;
    return area_m2 * (pressure_Pa * (volume_m3 / (volume_m3 - area_m2 * x)) ** exponent - 101325);
  };
  const middle_m = 0.5 * (low_m + high_m);
  yield ['gas.offset', gas.offset_N, gas_N(low_m)];
  yield ['gas.rate', gas.rate_N_per_mm, (gas_N(middle_m + 1e-5) - gas_N(middle_m - 1e-5)) / 2e-2];
  yield ['rig.lag', analysis.rig.lag_ms, 1e3 * rig.lag_s];
  yield ['rig.movingMass', analysis.rig.movingMass_kg, shock.movingMass_kg];
}

function judge(trials: Trials, analysis: RecordingAnalysis, played: Played): void {
  for (const [quantity, estimate, truth] of estimatesAndTruths(analysis, played)) {
    trials[quantity] ??= { trials: [], missing: 0 };
    if (!estimate) trials[quantity].missing++;
    else {
      const { value, standardError, low95, high95 } = estimate;
      const error = value - truth;
      trials[quantity].trials.push({
        held: low95 <= truth && truth <= high95,
        z: error / standardError,
        error: error / Math.abs(truth),
      });
    }
  }
}

/** Half-width of mean drag, relative, at which someone watching the live estimate would stop. */
const sharpEnough = 0.01;

/** The analysis at which a recording would have been stopped: sharp enough, after at least 8 cycles. */
function stopped({ trace }: Played): RecordingAnalysis | null {
  const last_s = trace.force.time_s.at(-1)!;
  for (let share = 0.4; share <= 1.001; share += 0.1) {
    const outcome = analyzeRecording(until(trace, share * last_s));
    if (!outcome.ok || outcome.analysis.cycles < 8) continue;
    const mean = outcome.analysis.friction.mean_N!;
    if (mean.high95 - mean.low95 < 2 * sharpEnough * mean.value || share > 0.95) return outcome.analysis;
  }
  return null;
}

function until({ force, position, rig }: Trace, end_s: number): Trace {
  const count = force.time_s.findLastIndex((t) => t <= end_s) + 1;
  const made = makeTrace({
    force: { time_s: force.time_s.slice(0, count), force_N: force.force_N.slice(0, count) },
    position: { time_s: position.time_s.slice(0, count), position_m: position.position_m.slice(0, count) },
    rig,
  });
  if (!made.ok) throw new Error(made.refusal.found);
  return made.trace;
}

export function run(print: (line: string) => void): Figures {
  const recordings = Number(process.env.COVERAGE_RECORDINGS ?? 64);
  const first = Number(process.env.COVERAGE_FIRST ?? 1);
  const byKind: Record<string, Trials> = {};
  const atStop: Trials = {};
  const ratios: Record<string, number[]> = {};
  let refused = 0;
  for (let seed = first; seed < first + recordings; seed++) {
    const { kind, played } = play(seed);
    const outcome = analyzeRecording(played.trace);
    if (!outcome.ok) {
      refused++;
      continue;
    }
    byKind[kind] ??= {};
    judge(byKind[kind], outcome.analysis, played);
    if (kind === 'sweep') continue;
    if (seed % 20 === 0 || seed % 20 === 2) {
      const early = stopped(played);
      if (early) judge(atStop, early, played);
    }
    if (seed % 20 === 10 || seed % 20 === 14)
      for (const [quantity, ratio] of Object.entries(sharpness(played))) {
        ratios[quantity] ??= [];
        ratios[quantity].push(ratio);
      }
  }
  print(`${recordings} recordings, ${refused} refused`);
  const figures: Record<string, number> = { recordings, refused };
  for (const [kind, trials] of [...Object.entries(byKind), ['stopped early', atStop] as const])
    for (const [quantity, { trials: all, missing }] of Object.entries(trials)) {
      if (all.length === 0) continue;
      const held = (100 * all.filter((trial) => trial.held).length) / all.length;
      const rmsZ = Math.sqrt(all.reduce((sum, { z }) => sum + z * z, 0) / all.length);
      const errors = all.map(({ error }) => Math.abs(error)).sort((a, b) => a - b);
      print(
        `${kind.padEnd(15)} ${quantity.padEnd(30)} held ${held.toFixed(1).padStart(5)} % of ${String(all.length).padStart(5)}` +
          `, rms z ${rmsZ.toFixed(2)}, error half within ${(100 * errors[errors.length >> 1]!).toPrecision(2)} %` +
          `${missing > 0 ? `, not identified ${missing}` : ''}`,
      );
      figures[`${kind} ${quantity} held_percent`] = held;
      figures[`${kind} ${quantity} rms_z`] = rmsZ;
    }
  for (const [quantity, all] of Object.entries(ratios)) {
    const middle = all.sort((a, b) => a - b)[all.length >> 1]!;
    print(
      `standard error over Cramér–Rao bound, ${quantity}: ${middle.toFixed(2)} (median of ${all.length})`,
    );
    figures[`${quantity} over bound`] = middle;
  }
  return figures;
}
