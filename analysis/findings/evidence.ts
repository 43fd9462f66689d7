import { type BesideFit, besideFit } from '../identification/beside-fit.js';
import type { Identification } from '../identification/identify.js';
import type { RecordedMotion } from '../identification/prepare.js';
import { sampleNoise } from '../identification/sample-noise.js';
import { medianPeriod, type UsableSamples } from '../identification/samples.js';
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
export interface FittedSamples extends Omit<BesideFit, 'part_N' | 'delay_s'> {
  /** Measured minus all that was fitted but drag. */
  readonly drag_N: Float64Array;
  /** Number of the stroke that each sample belongs to. */
  readonly stroke: Int32Array;
  /** The other way round: the first sample of each stroke, and after the last stroke the number of samples. */
  readonly firstOf: Int32Array;
  /** White noise of one sample. */
  readonly noise_N: number;
  /** Median time between samples. */
  readonly period_s: number;
}

/** One thing that may be wrong or worth knowing; null where the evidence does not show it. */
export type Criterion = (evidence: Evidence) => Finding | null;

/** What was measured beside what was fitted, stroke by stroke. */
export function fittedSamples(identification: Identification, motion: RecordedMotion): FittedSamples {
  const beside = besideFit(identification, /^drag/);
  const { time_s, delay_s } = beside;
  const { strokes } = motion.strokes;
  const n = time_s.length;
  const stroke = new Int32Array(n);
  const firstOf = new Int32Array(strokes.length + 1).fill(n);
  for (let k = 0, i = 0; k < strokes.length; k++) {
    firstOf[k] = i;
    const end_s = k + 1 < strokes.length ? strokes[k].end_s : Number.POSITIVE_INFINITY;
    while (i < n && time_s[i] - delay_s <= end_s) stroke[i++] = k;
  }
  return {
    time_s,
    position_m: beside.position_m,
    velocity_m_per_s: beside.velocity_m_per_s,
    force_N: beside.force_N,
    residual_N: beside.residual_N,
    drag_N: beside.part_N,
    stroke,
    firstOf,
    noise_N: sampleNoise(identification.problem.time_s, identification.problem.force_N),
    period_s: medianPeriod(time_s),
  };
}
