import type { CurvePoint, RecordingPicture } from '../result.js';
import type { Trace } from '../trace.js';
import { kernelDelay_steps } from './converter-kernel.js';
import type { Identification } from './identify.js';
import { readAt } from './motion-grid.js';
import { gridShift } from './problem.js';
import { rowReader } from './rows.js';

const mostPoints = 2000;

/** Thinned measured points with their motion and what the fit says of them, for drawing. */
export function pictureOf(
  trace: Trace,
  identification: Identification,
  total: readonly CurvePoint[],
): RecordingPicture {
  const { problem, fit } = identification;
  const { grid, terms } = problem;
  const stride = Math.max(1, Math.ceil(trace.force.time_s.length / mostPoints));
  // The converter's averaging delays what the columns say; the motion that goes with it is the one at its middle.
  const shift =
    gridShift(problem, problem.blocks[0], fit.shape.lag_s) -
    kernelDelay_steps(problem.width, problem.averagings);
  const isFrictional = terms.map((term) => /^(drag|linear|quadratic|thinning|ceiling)/.test(term));
  const points: number[][] = [[], [], [], [], [], []];
  rowReader(problem, false)(
    fit.shape,
    null,
    stride,
    ({ values, capacity, sample, count }) => {
      for (let row = 0; row < count; row++) {
        const i = sample[row];
        const place = trace.force.time_s[i] / grid.step_s + shift;
        if (place < 0) continue;
        let fitted = 0;
        let frictional = 0;
        for (let j = 0; j < terms.length; j++) {
          const part = fit.coefficients[j] * values[j * capacity + row];
          fitted += part;
          if (isFrictional[j]) frictional += part;
        }
        const force_N = trace.force.force_N[i];
        const residual_N = force_N - fitted;
        const moved = [
          trace.force.time_s[i],
          readAt(grid.position_m, place),
          readAt(grid.velocity_m_per_s, place),
          force_N,
          residual_N,
          frictional + residual_N,
        ];
        for (let j = 0; j < moved.length; j++) points[j].push(moved[j]);
      }
    },
    true,
  );
  const [t, x, v, f, r, d] = points.map((list) => Float64Array.from(list));
  return {
    points: { time_s: t, position_m: x, velocity_m_per_s: v, force_N: f, residual_N: r, frictional_N: d },
    total,
  };
}
