/** How much less a run of residuals knows than as many independent ones. */
export interface Correlation {
  /** Variance of a mean over its variance for independent residuals; at least 1. */
  readonly inflation: number;
  readonly degreesOfFreedom: number;
}

/** Fewer blocks than this say nothing about the variance between them. */
const fewestBlocks = 8;

/**
 * Correlation of residuals by blocking: means of ever longer blocks vary more than independent samples would.
 * @param residuals n in the order they were sampled
 * @returns the largest inflation over blocks of 1, 2, 4, … samples, and the blocks it was seen in
 * Source: H. Flyvbjerg, H. G. Petersen, *J. Chem. Phys.* 91 (1989) 461-466
 */
export function residualCorrelation(residuals: Float64Array): Correlation {
  const single = meanSquare(residuals);
  let found: Correlation = { inflation: 1, degreesOfFreedom: residuals.length };
  if (single === 0) return found;
  let means = residuals;
  for (let size = 2; residuals.length / size >= fewestBlocks; size *= 2) {
    means = Float64Array.from(
      { length: Math.floor(means.length / 2) },
      (_, k) => (means[2 * k] + means[2 * k + 1]) / 2,
    );
    const inflation = (meanSquare(means) * size) / single;
    if (inflation > found.inflation) found = { inflation, degreesOfFreedom: means.length };
  }
  return found;
}

const meanSquare = (values: Float64Array): number =>
  values.reduce((sum, value) => sum + value * value, 0) / values.length;
