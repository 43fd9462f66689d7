import { kernelDelay_steps } from '../identification/converter-kernel.js';
import type { Identification } from '../identification/identify.js';
import { readAt } from '../identification/motion-grid.js';
import type { RecordedMotion } from '../identification/prepare.js';
import { gridShift } from '../identification/problem.js';
import { rowReader } from '../identification/rows.js';
import { sampleNoise } from '../identification/sample-noise.js';
import type { UsableSamples } from '../identification/samples.js';
import type { Finding, RecordingAnalysis } from '../result.js';
import type { Trace } from '../trace.js';

/** All that a finding may be read from: the recording, its motion, its fit, and the two side by side. */
export interface Evidence {
  readonly trace: Trace;
  readonly motion: RecordedMotion;
  readonly identification: Identification;
  readonly analysis: RecordingAnalysis;
  readonly usable: UsableSamples;
  readonly samples: FittedSamples;
}

/** Force samples that the fit used, with the motion that went with each: equal lengths, in time order. */
export interface FittedSamples {
  /** On the identification's clock. */
  readonly time_s: Float64Array;
  readonly position_m: Float64Array;
  readonly velocity_m_per_s: Float64Array;
  readonly force_N: Float64Array;
  /** Measured minus fitted. */
  readonly residual_N: Float64Array;
  /** Measured minus all that was fitted but drag. */
  readonly drag_N: Float64Array;
  /** Number of the stroke that each sample belongs to. */
  readonly stroke: Int32Array;
  /** White noise of one sample. */
  readonly noise_N: number;
}

/** One thing that may be wrong or worth knowing; null where the evidence does not show it. */
export type Criterion = (evidence: Evidence) => Finding | null;

/**
 * Puts the fit beside what was measured. Position and velocity are those at the middle of the converter's averaging,
 * the lag taken off; samples without motion before them are left out.
 */
export function fittedSamples({ problem, fit }: Identification, motion: RecordedMotion): FittedSamples {
  const { grid, blocks, time_s, force_N, terms } = problem;
  const shift =
    gridShift(problem, blocks[0], fit.shape.lag_s) - kernelDelay_steps(problem.width, problem.averagings);
  const { strokes } = motion.strokes;
  const isDrag = terms.map((term) => term.startsWith('drag'));
  const [t, x, v, f, r, d, k] = Array.from({ length: 7 }, () => new Float64Array(time_s.length));
  let n = 0;
  let stroke = 0;
  rowReader(problem, false)(fit.shape, null, 1, ({ values, capacity, sample, count }) => {
    for (let row = 0; row < count; row++) {
      const i = sample[row];
      const place = time_s[i] / grid.step_s + shift;
      if (place < 0) continue;
      let drag = 0;
      let others = 0;
      for (let j = 0; j < terms.length; j++) {
        const part = fit.coefficients[j] * values[j * capacity + row];
        if (isDrag[j]) drag += part;
        else others += part;
      }
      const moved_s = blocks[0].start_s + place * grid.step_s;
      while (stroke < strokes.length - 1 && strokes[stroke].end_s < moved_s) stroke++;
      t[n] = time_s[i];
      x[n] = readAt(grid.position_m, place);
      v[n] = readAt(grid.velocity_m_per_s, place);
      f[n] = force_N[i];
      r[n] = force_N[i] - others - drag;
      d[n] = force_N[i] - others;
      k[n] = stroke;
      n++;
    }
  });
  return {
    time_s: t.subarray(0, n),
    position_m: x.subarray(0, n),
    velocity_m_per_s: v.subarray(0, n),
    force_N: f.subarray(0, n),
    residual_N: r.subarray(0, n),
    drag_N: d.subarray(0, n),
    stroke: Int32Array.from(k.subarray(0, n)),
    noise_N: sampleNoise(time_s, force_N),
  };
}
