import type { RecordedMotion } from './prepare.js';
import { leastClusters } from './samples.js';

/** Estimates whose errors repeat in like manner. */
export type ErrorKind = 'meanDrag' | 'drag' | 'damping' | 'gas' | 'gasRate' | 'mass' | 'lag';

/** Factors on cluster-robust standard errors. */
export type ModelErrors = Readonly<Record<ErrorKind, number>>;

const withRepeats: ModelErrors = {
  meanDrag: 1.12,
  drag: 1.15,
  damping: 1.1,
  gas: 1.2,
  gasRate: 1.5,
  mass: 1.2,
  lag: 1.4,
};
/** A recording whose strokes each have their own speed has no repeats to tell such errors by. */
const withoutRepeats: ModelErrors = {
  meanDrag: 1.95,
  drag: 1.65,
  damping: 1.8,
  gas: 1.3,
  gasRate: 1.35,
  mass: 2.3,
  lag: 3,
};

/**
 * Factors for errors of the model and of the motion that repeat in every cluster, where no cluster shows them.
 * Calibrated on simulated recordings (tests/bench/coverage.ts, seeds 50001 to 50400, 92001 to 92250 and 93001 to 93250)
 * and checked on others.
 */
export const modelErrorsOf = ({ feltStrokes }: RecordedMotion): ModelErrors =>
  feltStrokes >= 2 * leastClusters ? withRepeats : withoutRepeats;
