import { estimateOf } from '../estimate.js';
import { findTurns } from '../kinematics/reversals.js';
import { withoutSpikes } from '../kinematics/spikes.js';
import { quantile } from '../numerics/summary.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { fitPull, type PullModel, type PullPath, slidingSamples } from './pull-model.js';
import { type StraightPart, straightPart } from './straight-part.js';

/** A spring, alone or on its shock, as a slow pull shows it. */
export interface SpringPull {
  /** At the middle of the stretch over which the spring acts. */
  readonly rate_N_per_m: Estimate;
  /**
   * Force of the spring where it begins to act, friction taken out by going both ways; where it is touched only after a
   * gap, above the force before that. Null where one way only was pulled.
   */
  readonly preload_N: Estimate | null;
  /** Half the loop between loading and unloading; null where only one way was pulled. */
  readonly friction_N: Estimate | null;
  /** Rate at the end of the stretch less rate at its start, over the mean rate: above 0 for a progressive spring. */
  readonly progression: Estimate;
  /** Root mean square distance from the fitted force. */
  readonly residual_N: number;
  /** Stretch over which the spring acts, in the recording's own coordinate. */
  readonly from_m: number;
  readonly to_m: number;
  /** Travel before the spring is touched. */
  readonly slack_m: number;
  /** Coils touch, or a stop does, before the end of the travel. */
  readonly bound: boolean;
  readonly strokes: { readonly loading: number; readonly unloading: number };
}

export type PullRefusal = Refusal<
  'too-few-samples' | 'no-travel' | 'unequal-channels' | 'not-finite' | 'force-falls'
>;
export type PullOutcome =
  | { readonly ok: true; readonly pull: SpringPull }
  | { readonly ok: false; readonly refusal: PullRefusal };

const leastSamples = 30;
const leastTravel_m = 0.5e-3;
/** A pull goes both ways where the shorter way is this share of the longer. */
const bothWaysShare = 0.3;
/** A one-way pull is read after this share of its travel, friction having built up. */
const leadIn = 0.12;
/** Of half the travel; friction has built up after some five of them. */
const usualShear = 0.015;
/** Slower than this share of the usual speed is a rest. */
const resting = 0.2;
/** A pull may rest for most of its time. */
const movingQuantile = 0.8;

/**
 * Rate and preload of a spring from a slow pull of any shape: there and back, in cycles, in steps, by hand.
 * @param position_m, force_N n samples each, in order; compression and pushing back positive
 * @returns rate, preload, friction loop and straightness with intervals, or why there is no spring to be seen
 * Numerical notes: one fit over all strokes, friction following the path (`fitPull`); a gap before the spring, a step
 *   up to its preload and coils that bind are left out (`straightPart`). On a shock the rate includes its gas.
 */
export function springPull(position_m: Float64Array, force_N: Float64Array): PullOutcome {
  const refusal = refusePull(position_m, force_N);
  if (refusal) return { ok: false, refusal };
  const order = position_m.map((_, i) => i);
  const { turns, noise_m, hysteresis_m } = findTurns(order, position_m);
  const clean = withoutSpikes(position_m, hysteresis_m);
  const low_m = clean.reduce((a, b) => Math.min(a, b));
  const high_m = clean.reduce((a, b) => Math.max(a, b));
  const [middle_m, half_m] = [(low_m + high_m) / 2, (high_m - low_m) / 2];
  const path = pathOf(clean, force_N, turns, middle_m, half_m);
  const everywhere = usable(path);
  const part = partOf(path, everywhere, clean);
  const inside = everywhere.filter(
    (i) => clean[i] >= (part.from_m ?? low_m) && clean[i] <= (part.to_m ?? high_m),
  );
  const model = fitPull(path, inside);
  if (!model)
    return refuse(
      'too-few-samples',
      `${inside.length} samples along the travel`,
      `enough for a line, at least ${leastSamples}`,
    );
  if (model.slope <= 0)
    return refuse(
      'force-falls',
      `a force that changes by ${(model.slope / half_m / 1e3).toFixed(4)} N/mm`,
      'a force that rises with compression: is a channel reversed?',
    );
  return {
    ok: true,
    pull: pullOf(path, model, part, { middle_m, half_m, noise_m }, strokesOf(turns)),
  };
}

type Turns = ReturnType<typeof findTurns>['turns'];

/** The path with its noise taken off: between turns a shaft moves one way only. */
function pathOf(
  position_m: Float64Array,
  force_N: Float64Array,
  turns: Turns,
  middle_m: number,
  half_m: number,
): PullPath {
  const n = position_m.length;
  const z = position_m.map((x) => (x - middle_m) / half_m);
  const step = new Float64Array(n);
  const ways = [0, 0];
  let furthest = z[0];
  let next = 1;
  for (let i = 1; i < n; i++) {
    while (next < turns.length - 1 && i > turns[next].index) {
      furthest = z[turns[next].index];
      next++;
    }
    const way = turns.length > 1 && turns[next].position_m < turns[next - 1].position_m ? -1 : 1;
    const moved = way * Math.max(0, way * (z[i] - furthest));
    step[i] = moved;
    furthest += moved;
    ways[way > 0 ? 1 : 0] += Math.abs(moved);
  }
  const reach = Math.max(2, Math.round(n / 60 / Math.max(1, turns.length - 1)));
  const speed = z.map((_, i) => {
    const [a, b] = [Math.max(0, i - reach), Math.min(n - 1, i + reach)];
    return (z[b] - z[a]) / (b - a);
  });
  return { z, force_N, step, speed, bothWays: Math.min(...ways) > bothWaysShare * Math.max(...ways) };
}

/**
 * Samples that a fit may use: what moves, of a pull both ways; what comes after the lead-in of one that goes one way.
 * A rest says one thing over and over, and not what the oil does on the way.
 */
function usable({ step, speed, bothWays }: PullPath): Int32Array {
  const usualSpeed = quantile(speed.map(Math.abs), movingQuantile);
  let travelled = 0;
  const kept: number[] = [];
  step.forEach((moved, i) => {
    travelled += Math.abs(moved) / 2;
    if (Math.abs(speed[i]) > resting * usualSpeed && (bothWays || travelled >= leadIn)) kept.push(i);
  });
  return Int32Array.from(kept);
}

/** The straight part of what slides, friction being taken to slide after a usual length. */
function partOf(path: PullPath, everywhere: Int32Array, position_m: Float64Array): StraightPart {
  const at = path.bothWays ? slidingSamples(path, everywhere, usualShear) : everywhere;
  let way = 1;
  const ways = path.step.map((moved) => {
    if (moved !== 0) way = Math.sign(moved);
    return way;
  });
  const pick = (values: Float64Array) => Float64Array.from(at, (i) => values[i]);
  return straightPart(pick(position_m), pick(path.force_N), pick(ways));
}

interface Travel {
  readonly middle_m: number;
  readonly half_m: number;
  readonly noise_m: number;
}

function pullOf(
  { bothWays, step }: PullPath,
  model: PullModel,
  part: StraightPart,
  { middle_m, half_m, noise_m }: Travel,
  strokes: SpringPull['strokes'],
): SpringPull {
  const at = (x_m: number) => (x_m - middle_m) / half_m;
  const { level, slope, bend, bendSeen, varianceOf, degreesOfFreedom } = model;
  const estimate = (value: number, variance: number, factor: number) =>
    estimateOf(value * factor, Math.sqrt(variance) * factor, degreesOfFreedom);
  const [from, to] = [part.from_m === null ? -1 : at(part.from_m), part.to_m === null ? 1 : at(part.to_m)];
  const middle = (from + to) / 2;
  const rate = slope + 2 * bend * middle;
  // Where the spring begins: at the start of the travel, or where its line meets the force before it.
  const gap = part.slack;
  const start = gap ? Math.max(-1, beginning(model, gap.force_N, from)) : -1;
  const preload = level + slope * start + bend * start * start - (gap ? gap.force_N : 0);
  const friction = Math.abs(model.friction + model.frictionSlope * middle);
  const preloadVariance =
    varianceOf([1, start, start * start]) +
    ((2 * noise_m * slope) / half_m) ** 2 +
    (model.oilKnown ? 0 : ((friction * unevenSpeeds(step)) / Math.sqrt(3)) ** 2);
  const length = to - from;
  return {
    rate_N_per_m: estimate(rate, varianceOf([0, 1, 2 * middle]), 1 / half_m),
    preload_N: bothWays ? estimate(preload, preloadVariance, 1) : null,
    friction_N: bothWays ? estimateOf(friction, model.frictionError, degreesOfFreedom) : null,
    progression: estimate(2 * bendSeen.value * length, (2 * length * bendSeen.standardError) ** 2, 1 / rate),
    residual_N: model.residualSd_N,
    from_m: middle_m + half_m * (gap ? start : from),
    to_m: middle_m + half_m * to,
    slack_m: gap ? Math.max(0, half_m * (start + 1)) : 0,
    bound: part.bound,
    strokes,
  };
}

/**
 * How unlike the speeds in and out were, 0 to 1: where oil is behind the loop instead of friction, its force does not
 * average out by that share.
 */
function unevenSpeeds(step: Float64Array): number {
  const [fast, slow] = [1, -1]
    .map((way) => {
      const moving = step.filter((moved) => moved * way > 0);
      return Math.abs(moving.reduce((sum, moved) => sum + moved, 0)) / Math.max(1, moving.length);
    })
    .sort((a, b) => b - a);
  return fast > 0 ? (fast - slow) / (fast + slow) : 0;
}

/** A line that reaches the force before it this much (of half the travel) further out jumps there: preload at the end of a gap. */
const jump = 0.15;

/** Where a spring begins behind a gap: where its line meets the force there, or at the gap's end where it jumps. */
function beginning({ level, slope, bend }: PullModel, force_N: number, gapEnd: number): number {
  let z = gapEnd;
  for (let i = 0; i < 20; i++) {
    const rate = slope + 2 * bend * z;
    if (!(rate > 0)) return gapEnd;
    z -= (level + slope * z + bend * z * z - force_N) / rate;
  }
  return z < gapEnd - jump ? gapEnd : z;
}

function strokesOf(turns: Turns): SpringPull['strokes'] {
  const ways = turns.slice(1).map((turn, k) => Math.sign(turn.position_m - turns[k].position_m));
  return {
    loading: ways.filter((way) => way > 0).length,
    unloading: ways.filter((way) => way < 0).length,
  };
}

function refusePull(position_m: Float64Array, force_N: Float64Array): PullRefusal | null {
  const n = position_m.length;
  const make = (code: PullRefusal['code'], found: string, wanted: string): PullRefusal => ({
    code,
    found,
    wanted,
  });
  if (force_N.length !== n)
    return make('unequal-channels', `${n} positions and ${force_N.length} forces`, 'as many of each');
  if (n < leastSamples) return make('too-few-samples', `${n} samples`, `at least ${leastSamples}`);
  if (![...position_m, ...force_N].every(Number.isFinite))
    return make('not-finite', 'a sample that is not a number', 'finite numbers');
  const travel_m = position_m.reduce((a, b) => Math.max(a, b)) - position_m.reduce((a, b) => Math.min(a, b));
  if (travel_m < leastTravel_m)
    return make(
      'no-travel',
      `${(1e3 * travel_m).toFixed(3)} mm of travel`,
      `at least ${1e3 * leastTravel_m} mm`,
    );
  return null;
}

const refuse = (code: PullRefusal['code'], found: string, wanted: string): PullOutcome => ({
  ok: false,
  refusal: { code, found, wanted },
});
