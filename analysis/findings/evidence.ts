import { type BesideFit, besideFit } from '../identification/beside-fit.js';
import type { Identification } from '../identification/identify.js';
import type { RecordedMotion } from '../identification/prepare.js';
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
export interface FittedSamples extends Omit<BesideFit, 'part_N' | 'delay_s'> {
  /** Measured minus all that was fitted but drag. */
  readonly drag_N: Float64Array;
  /** Number of the stroke that each sample belongs to. */
  readonly stroke: Int32Array;
  /** White noise of one sample. */
  readonly noise_N: number;
}

/** One thing that may be wrong or worth knowing; null where the evidence does not show it. */
export type Criterion = (evidence: Evidence) => Finding | null;

/** What was measured beside what was fitted, stroke by stroke. */
export function fittedSamples(identification: Identification, motion: RecordedMotion): FittedSamples {
  const { part_N, delay_s, ...samples } = besideFit(identification, /^drag/);
  const { strokes } = motion.strokes;
  const stroke = new Int32Array(samples.time_s.length);
  for (let i = 0, k = 0; i < stroke.length; i++) {
    while (k < strokes.length - 1 && strokes[k].end_s < samples.time_s[i] - delay_s) k++;
    stroke[i] = k;
  }
  const { time_s, force_N } = identification.problem;
  return { ...samples, drag_N: part_N, stroke, noise_N: sampleNoise(time_s, force_N) };
}
