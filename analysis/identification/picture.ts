import type { CurvePoint, RecordingPicture } from '../result.js';
import type { Trace } from '../trace.js';
import { kernelDelay_steps } from './converter-kernel.js';
import type { Identification } from './identify.js';

const mostPoints = 2000;

/** Thinned measured points with their motion and what the fit says of them, for drawing. */
export function pictureOf(
  trace: Trace,
  identification: Identification,
  total: readonly CurvePoint[],
): RecordingPicture {
  const { problem, fit, evaluation } = identification;
  const { time_s, force_N } = trace.force;
  const { grid, terms } = problem;
  const stride = Math.max(1, Math.ceil(time_s.length / mostPoints));
  // The converter's averaging delays what the columns say; the motion that goes with it is the one at its middle.
  const delay = kernelDelay_steps(problem.width, problem.averagings);
  const points: number[][] = [[], [], [], [], [], []];
  for (let i = 0; i < time_s.length; i += stride) {
    const place = time_s[i] / grid.step_s + evaluation.shift;
    const k = Math.floor(place);
    if (place < delay || k > grid.position_m.length - 2) continue;
    const at = (column: Float64Array) => between(column, place);
    let fitted = 0;
    let frictional = 0;
    for (let j = 0; j < terms.length; j++) {
      const part = fit.coefficients[j] * at(evaluation.linear[j]);
      fitted += part;
      if (/^(drag|linear|quadratic|thinning|ceiling)/.test(terms[j])) frictional += part;
    }
    const residual = force_N[i] - fitted;
    const moved = [
      time_s[i],
      between(grid.position_m, place - delay),
      between(grid.velocity_m_per_s, place - delay),
      force_N[i],
      residual,
      frictional + residual,
    ];
    for (let j = 0; j < moved.length; j++) points[j].push(moved[j]);
  }
  const [t, x, v, f, r, d] = points.map((list) => Float64Array.from(list));
  return {
    points: { time_s: t, position_m: x, velocity_m_per_s: v, force_N: f, residual_N: r, frictional_N: d },
    total,
  };
}

function between(column: Float64Array, place: number): number {
  const k = Math.floor(place);
  return column[k] + (place - k) * (column[k + 1] - column[k]);
}
