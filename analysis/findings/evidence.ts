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
  const { part_N, delay_s, ...samples } = besideFit(identification, /^drag/);
  const { strokes } = motion.strokes;
  const n = samples.time_s.length;
  const stroke = new Int32Array(n);
  const firstOf = new Int32Array(strokes.length + 1).fill(n);
  for (let k = 0, i = 0; k < strokes.length; k++) {
    firstOf[k] = i;
    const isLast = k === strokes.length - 1;
    while (i < n && (isLast || samples.time_s[i] - delay_s <= strokes[k].end_s)) stroke[i++] = k;
  }
  const { time_s, force_N } = identification.problem;
  return {
    ...samples,
    drag_N: part_N,
    stroke,
    firstOf,
    noise_N: sampleNoise(time_s, force_N),
    period_s: medianPeriod(samples.time_s),
  };
}
