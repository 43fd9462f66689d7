import { estimateOf } from '../estimate.js';
import { leastSquares } from '../numerics/linear.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import type { Trace } from '../trace.js';
import { type CycleResponse, cyclicResponses } from './cyclic-response.js';

/** What a dry spring moved at several speeds tells about the rig. */
export interface SpringCheck {
  /** Delay of the force behind the position beyond the converter's own, s. */
  readonly lag_s: Estimate;
  readonly springRate_N_per_m: Estimate;
  readonly movingMass_kg: Estimate;
  /** Coulomb friction of spring and slide. */
  readonly friction_N: Estimate;
  /** As measured, the lag still in them. */
  readonly responses: readonly CycleResponse[];
  readonly cycles: number;
  /** Slowest and fastest, 1/s. */
  readonly speeds_rev_per_s: readonly [number, number];
}

export interface UnloadedRun {
  readonly movingMass_kg: Estimate;
  /** What a cable or a bellows pulls with, N/m. */
  readonly stiffness_N_per_m: Estimate;
  /** Put back in time by the lag. */
  readonly responses: readonly CycleResponse[];
  readonly cycles: number;
  readonly speeds_rev_per_s: readonly [number, number];
}

export type CycleRefusal = Refusal<'too-few-cycles' | 'one-speed' | 'no-spring'>;
export type SpringCheckOutcome =
  | { readonly ok: true; readonly check: SpringCheck }
  | { readonly ok: false; readonly refusal: CycleRefusal };
export type UnloadedOutcome =
  | { readonly ok: true; readonly run: UnloadedRun }
  | { readonly ok: false; readonly refusal: CycleRefusal };

const fewestCycles = 6;
const leastSpeedRatio = 2;
/** Standard uncertainty of friction's change with speed, as a share of it: dry friction is only nearly Coulomb's. Judgement, no source. */
const frictionChange = 0.02;

/**
 * Finds the lag, and with it moving mass, spring rate and friction, from a dry spring moved at several speeds.
 * @param trace the recording; speeds at least a factor 2 apart, six steady cycles or more
 * @returns estimates, or why there are none
 * Numerical notes: the loop's area over π·X² is the part of the force ahead of the position, linear in friction and in
 *   the turn that a lag makes; iterated, since the turn changes both parts. A spring with viscous friction looks the
 *   same as less lag: it has to be dry. The interval allows for dry friction that changes a fiftieth with speed.
 */
export function checkSpring(trace: Trace): SpringCheckOutcome {
  const cycles = cyclicResponses(trace);
  const refusal = refuse(cycles);
  if (refusal) return { ok: false, refusal };
  let lag_s = 0;
  let fit = lagStep(cycles, lag_s);
  for (let pass = 0; pass < 8 && Math.abs(fit.more_s) > 1e-9; pass++) {
    lag_s += fit.more_s;
    fit = lagStep(cycles, lag_s);
  }
  const turned = cycles.map((cycle) => turnedBack(cycle, lag_s));
  const along = stiffnessAndMass(turned);
  if (!(along.stiffness.value > 3 * along.stiffness.standardError))
    return {
      ok: false,
      refusal: {
        code: 'no-spring',
        found: `a stiffness of ${(along.stiffness.value / 1e3).toFixed(4)} N/mm`,
        wanted: 'a spring on the rig, and nothing else',
      },
    };
  return {
    ok: true,
    check: {
      lag_s: estimateOf(lag_s, fit.lagError_s, fit.freedom),
      springRate_N_per_m: along.stiffness,
      movingMass_kg: along.mass,
      friction_N: estimateOf(fit.friction_N, fit.frictionError_N, fit.freedom),
      responses: cycles,
      cycles: cycles.length,
      speeds_rev_per_s: speedsOf(cycles),
    },
  };
}

/**
 * Moving mass from a run with nothing on the rig but what always moves, at several speeds.
 * @param lag_s of the force if known; it matters little
 */
export function checkUnloaded(trace: Trace, lag_s = 0): UnloadedOutcome {
  const cycles = cyclicResponses(trace);
  const refusal = refuse(cycles);
  if (refusal) return { ok: false, refusal };
  const responses = cycles.map((cycle) => turnedBack(cycle, lag_s));
  const { stiffness, mass } = stiffnessAndMass(responses);
  return {
    ok: true,
    run: {
      movingMass_kg: mass,
      stiffness_N_per_m: stiffness,
      responses,
      cycles: cycles.length,
      speeds_rev_per_s: speedsOf(cycles),
    },
  };
}

/** One cycle as it would be if the force came sooner by `lag_s`. */
function turnedBack(cycle: CycleResponse, lag_s: number): CycleResponse {
  const angle = cycle.angularFrequency_rad_per_s * lag_s;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const { inPhase_N_per_m: a, ahead_N_per_m: b } = cycle;
  return { ...cycle, inPhase_N_per_m: a * c - b * s, ahead_N_per_m: a * s + b * c };
}

/** What lag is left beyond `lag_s`, and the friction, by regression of the part ahead. */
function lagStep(cycles: readonly CycleResponse[], lag_s: number) {
  const turned = cycles.map((cycle) => turnedBack(cycle, lag_s));
  // Weighted by the amplitude, so that every row is a force.
  const openings = Float64Array.from(turned, () => 4 / Math.PI);
  const turns = Float64Array.from(
    turned,
    ({ inPhase_N_per_m, angularFrequency_rad_per_s, amplitude_m }) =>
      -inPhase_N_per_m * angularFrequency_rad_per_s * amplitude_m,
  );
  const ahead = Float64Array.from(turned, ({ ahead_N_per_m, amplitude_m }) => ahead_N_per_m * amplitude_m);
  const fit = leastSquares([openings, turns], ahead);
  const [frictionError_N, scatter_s] = clusteredErrors(turned, [openings, turns], fit);
  // Friction that changes evenly from the slowest to the fastest cycle would pass for lag: how much of it.
  const speeds = turned.map(({ angularFrequency_rad_per_s }) => angularFrequency_rad_per_s);
  const [slow, fast] = [Math.min(...speeds), Math.max(...speeds)];
  const changing = openings.map((opening, i) => (opening * (speeds[i] - slow)) / (fast - slow));
  const perChange_s = leastSquares([openings, turns], changing).coefficients[1];
  const lagError_s = Math.hypot(scatter_s, frictionChange * fit.coefficients[0] * perChange_s);
  return {
    friction_N: fit.coefficients[0],
    more_s: fit.coefficients[1],
    frictionError_N,
    lagError_s,
    freedom: groupsOf(turned).length - 2 || 1,
  };
}

function stiffnessAndMass(cycles: readonly CycleResponse[]): { stiffness: Estimate; mass: Estimate } {
  const one = Float64Array.from(cycles, ({ amplitude_m }) => amplitude_m);
  const inertia = Float64Array.from(
    cycles,
    ({ angularFrequency_rad_per_s, amplitude_m }) => -(angularFrequency_rad_per_s ** 2) * amplitude_m,
  );
  const forces = Float64Array.from(
    cycles,
    ({ inPhase_N_per_m, amplitude_m }) => inPhase_N_per_m * amplitude_m,
  );
  const fit = leastSquares([one, inertia], forces);
  const [stiffnessError, massError] = clusteredErrors(cycles, [one, inertia], fit);
  const freedom = groupsOf(cycles).length - 2 || 1;
  return {
    stiffness: estimateOf(fit.coefficients[0], stiffnessError, freedom),
    mass: estimateOf(fit.coefficients[1], massError, freedom),
  };
}

/** Cycles of one speed, within 10 %. */
function groupsOf(cycles: readonly CycleResponse[]): number[][] {
  const groups: number[][] = [];
  const order = cycles
    .map((_, i) => i)
    .sort((a, b) => cycles[a].angularFrequency_rad_per_s - cycles[b].angularFrequency_rad_per_s);
  for (const i of order) {
    const group = groups[groups.length - 1];
    const first = group && cycles[group[0]].angularFrequency_rad_per_s;
    if (first && cycles[i].angularFrequency_rad_per_s < 1.1 * first) group.push(i);
    else groups.push([i]);
  }
  return groups;
}

/**
 * Standard errors of two coefficients, the larger of two kinds: independent cycles, and cycles of one speed that err
 * together (a drive's ripple, a model that misses a speed repeat in every cycle of it).
 */
function clusteredErrors(
  cycles: readonly CycleResponse[],
  columns: readonly [Float64Array, Float64Array],
  fit: ReturnType<typeof leastSquares>,
): [number, number] {
  const groups = groupsOf(cycles);
  const meat = [0, 0, 0, 0];
  for (const group of groups) {
    const score = columns.map((column) => group.reduce((sum, i) => sum + column[i] * fit.residuals[i], 0));
    for (let a = 0; a < 2; a++) for (let b = 0; b < 2; b++) meat[2 * a + b] += score[a] * score[b];
  }
  const small = groups.length > 2 ? groups.length / (groups.length - 2) : 2;
  const inverse = fit.inverseNormal;
  return [0, 1].map((j) => {
    const [p, q] = [inverse[2 * j], inverse[2 * j + 1]];
    const together = small * (p * p * meat[0] + 2 * p * q * meat[1] + q * q * meat[3]);
    return Math.sqrt(Math.max(together, fit.covariance[3 * j]));
  }) as [number, number];
}

function refuse(cycles: readonly CycleResponse[]): CycleRefusal | null {
  if (cycles.length < fewestCycles)
    return {
      code: 'too-few-cycles',
      found: `${cycles.length} steady cycles`,
      wanted: `at least ${fewestCycles}, two or more at each of several speeds`,
    };
  const [slow, fast] = speedsOf(cycles);
  if (fast < leastSpeedRatio * slow)
    return {
      code: 'one-speed',
      found: `speeds from ${slow.toFixed(2)} to ${fast.toFixed(2)} rev/s`,
      wanted: `speeds at least a factor ${leastSpeedRatio} apart, three or more of them`,
    };
  return null;
}

function speedsOf(cycles: readonly CycleResponse[]): [number, number] {
  const speeds = cycles.map(({ angularFrequency_rad_per_s }) => angularFrequency_rad_per_s / (2 * Math.PI));
  return [Math.min(...speeds), Math.max(...speeds)];
}
