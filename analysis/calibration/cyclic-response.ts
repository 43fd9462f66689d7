import { averagingsOf } from '../identification/converter-kernel.js';
import { leastSquares } from '../numerics/linear.js';
import type { Trace } from '../trace.js';

/** What the force answers to one cycle of motion, at the frequency of the cycle. */
export interface CycleResponse {
  readonly angularFrequency_rad_per_s: number;
  /** Amplitude of the position's fundamental. */
  readonly amplitude_m: number;
  /** Force in phase with the position over the amplitude: k − m·ω². */
  readonly inPhase_N_per_m: number;
  /** Force a quarter turn ahead of the position over the amplitude; π·X² times it is the loop's area. */
  readonly ahead_N_per_m: number;
}

const harmonics = 4;
/** A cycle whose length differs more from its neighbour's belongs to a drive that was changing speed. */
const steadiness = 0.03;

/**
 * Cuts a periodic run into its cycles and finds the force's response in each.
 * @param trace any periodic motion; its rig's converter and conversion period are taken out of the response
 * @returns one entry a steady cycle, in order; empty where nothing moves to and fro
 * Numerical notes: a linear system answers each harmonic of any periodic motion by itself, so the crank's own
 *   harmonics do no harm; position and force are each fitted at their own instants. The converter's running means
 *   weaken the fundamental by sinc(ωT/2) each and delay it by T/2 each, which is undone.
 */
export function cyclicResponses(trace: Trace): CycleResponse[] {
  const crossings = upwardCrossings(trace.position.time_s, trace.position.position_m);
  const { kernel, conversionPeriod_s } = trace.rig;
  const averagings = kernel === null || conversionPeriod_s === null ? 0 : averagingsOf[kernel];
  const period_s = conversionPeriod_s ?? 0;
  const responses: CycleResponse[] = [];
  for (let k = 1; k < crossings.length; k++) {
    const [from_s, to_s] = [crossings[k - 1], crossings[k]];
    const length_s = to_s - from_s;
    const neighbours = [k - 1, k + 1]
      .filter((j) => j >= 1 && j < crossings.length)
      .map((j) => crossings[j] - crossings[j - 1]);
    if (!neighbours.some((other) => Math.abs(other / length_s - 1) < steadiness)) continue;
    const omega = (2 * Math.PI) / length_s;
    const position = fundamental(trace.position.time_s, trace.position.position_m, from_s, to_s);
    const force = fundamental(trace.force.time_s, trace.force.force_N, from_s, to_s);
    if (!position || !force) continue;
    // Both as cosine − i·sine: the ratio is the response; then the converter's own gain and delay are undone.
    const half = (omega * period_s) / 2;
    const gain = half > 0 ? (Math.sin(half) / half) ** averagings : 1;
    const [re, im] = rotated(divided(force, position), half * averagings);
    responses.push({
      angularFrequency_rad_per_s: omega,
      amplitude_m: Math.hypot(...position),
      inPhase_N_per_m: re / gain,
      ahead_N_per_m: im / gain,
    });
  }
  return responses;
}

/** Instants at which the position passes the middle of its travel inwards, each once however noisy it is. */
function upwardCrossings(time_s: Float64Array, position_m: Float64Array): number[] {
  const low = position_m.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = position_m.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const middle = (low + high) / 2;
  const margin = (high - low) / 4;
  const crossings: number[] = [];
  let armed = false;
  let pending: number | null = null;
  for (let i = 1; i < position_m.length; i++) {
    const [before, now] = [position_m[i - 1] - middle, position_m[i] - middle];
    if (now < -margin) {
      armed = true;
      pending = null;
    }
    if (armed && before < 0 && now >= 0)
      pending ??= time_s[i - 1] + ((time_s[i] - time_s[i - 1]) * -before) / (now - before);
    if (armed && pending !== null && now > margin) {
      crossings.push(pending);
      armed = false;
    }
  }
  return crossings;
}

type Complex = readonly [number, number];

/** Complex amplitude (cosine, −sine) of the fundamental between two instants; null with too few samples. */
function fundamental(
  time_s: Float64Array,
  values: Float64Array,
  from_s: number,
  to_s: number,
): Complex | null {
  const first = time_s.findIndex((t) => t >= from_s);
  const end = time_s.findIndex((t) => t >= to_s);
  if (first < 0 || end < 0 || end - first < 3 * harmonics) return null;
  const phase = time_s.slice(first, end).map((t) => (2 * Math.PI * (t - from_s)) / (to_s - from_s));
  const columns = [phase.map(() => 1)];
  for (let h = 1; h <= harmonics; h++)
    columns.push(
      phase.map((p) => Math.cos(h * p)),
      phase.map((p) => Math.sin(h * p)),
    );
  const { coefficients } = leastSquares(columns, values.slice(first, end));
  return [coefficients[1], -coefficients[2]];
}

function divided([a, b]: Complex, [c, d]: Complex): Complex {
  const size = c * c + d * d;
  return [(a * c + b * d) / size, (b * c - a * d) / size];
}

function rotated([a, b]: Complex, angle_rad: number): Complex {
  const [c, s] = [Math.cos(angle_rad), Math.sin(angle_rad)];
  return [a * c - b * s, a * s + b * c];
}
