import { bends } from '../../analysis/identification/bends.js';
import { identify } from '../../analysis/identification/identify.js';
import { modelErrorsOf } from '../../analysis/identification/model-errors.js';
import { recordedMotion } from '../../analysis/identification/prepare.js';
import { estimatesOf } from '../../analysis/identification/report.js';
import { RowReader } from '../../analysis/identification/rows.js';
import { clustersOf, usableSamples } from '../../analysis/identification/samples.js';
import { choleskyFactor, choleskyInverse } from '../../analysis/numerics/linear.js';
import type { Played } from '../analysis/played/recording.js';

/** Memory of the played wander, s, and the frequency of its hum, Hz. */
const wander_s = 0.03;
const hum_Hz = 50;

/**
 * Standard errors that an analysis states over the Cramér–Rao bound of the very noise that was played: white, wander
 * of first order and a hum of unknown phase. The bound takes the fitted motion as known.
 */
export function sharpness(played: Played): Record<string, number> {
  const { trace, rig } = played;
  const moved = recordedMotion(trace);
  if (!moved.ok) return {};
  const { motion } = moved;
  const found = identify(
    trace,
    motion,
    usableSamples(trace, motion).counts,
    clustersOf(trace.force.time_s, motion),
  );
  if (!found) return {};
  const { fit } = found;
  // The played oil follows the square law, and the bound is of one who knows that.
  const problem = { ...found.problem, terms: found.problem.terms.filter((term) => !bends.includes(term)) };
  const coefficients = fit.coefficients.filter((_, j) => !bends.includes(found.problem.terms[j]!));
  const p = problem.terms.length;
  const columns = p + problem.shapes.length;
  const size = columns + 2;
  const innovate = whitener(
    size,
    Math.exp(-1 / rig.rate_Hz / wander_s),
    rig.colouredNoise_N,
    Math.hypot(rig.whiteNoise_N, rig.forceStep_N / Math.sqrt(12)),
  );
  const information = new Float64Array(size * size);
  for (const rows of new RowReader(problem).rows(fit.shape, coefficients, 1)) {
    const { values, capacity, sample, count } = rows;
    const row = new Float64Array(size);
    for (let r = 0; r < count; r++) {
      for (let j = 0; j < columns; j++) row[j] = values[j * capacity + r]!;
      const phase = 2 * Math.PI * hum_Hz * trace.force.time_s[sample[r]!]!;
      row[columns] = Math.sin(phase);
      row[columns + 1] = Math.cos(phase);
      innovate(row);
      for (let a = 0; a < size; a++)
        for (let b = 0; b <= a; b++) information[a * size + b] += row[a]! * row[b]!;
    }
  }
  const scale = Float64Array.from({ length: size }, (_, j) => 1 / Math.sqrt(information[j * size + j]!));
  const scaled = information.map((value, at) => value * scale[Math.floor(at / size)]! * scale[at % size]!);
  const factor = choleskyFactor(scaled, size);
  if (!factor) return {};
  const inverse = choleskyInverse(factor, size);
  const covariance = (a: number, b: number) => inverse[a * size + b]! * scale[a]! * scale[b]!;
  const estimates = estimatesOf(found, modelErrorsOf(motion));
  const up = problem.terms.indexOf('dragCompression');
  const down = problem.terms.indexOf('dragRebound');
  const ratios: Record<string, number> = {};
  ratios['friction.mean'] =
    estimates.friction.mean_N.standardError /
    (0.5 * Math.sqrt(covariance(up, up) + covariance(down, down) + 2 * covariance(up, down)));
  const own = (quantity: string, term: (typeof problem.terms)[number], standardError: number | undefined) => {
    const at = problem.terms.indexOf(term);
    if (at >= 0 && standardError !== undefined)
      ratios[quantity] = standardError / Math.sqrt(covariance(at, at));
  };
  own('friction.compression', 'dragCompression', estimates.friction.compression_N?.standardError);
  own('damping.compression.linear', 'linearCompression', estimates.compression.linear?.standardError);
  own('damping.rebound.linear', 'linearRebound', estimates.rebound.linear?.standardError);
  return ratios;
}

/**
 * Turns rows in time order into what is new in each, over its standard deviation: the steady Kalman filter of white
 * noise on a wander of first order.
 */
function whitener(size: number, keep: number, wander_N: number, white_N: number) {
  const renewed = wander_N ** 2 * (1 - keep ** 2);
  let before = wander_N ** 2;
  for (let k = 0; k < 500; k++)
    before = keep ** 2 * (before - before ** 2 / (before + white_N ** 2)) + renewed;
  const gain = before / (before + white_N ** 2);
  const deviation = Math.sqrt(before + white_N ** 2);
  const state = new Float64Array(size);
  return (row: Float64Array): void => {
    for (let j = 0; j < size; j++) {
      const fresh = row[j]! - state[j]!;
      state[j] = keep * (state[j]! + gain * fresh);
      row[j] = fresh / deviation;
    }
  };
}
