import { chiSquareQuantile } from '../numerics/distributions.js';

/** A standard deviation as measurements know it. */
export interface Spread {
  /** Between remounts, in the unit of the quantity, >= 0. */
  readonly standardDeviation: number;
  /** Remounts it was seen in, less the number of builds they belong to; at least 1. */
  readonly degreesOfFreedom: number;
}

/**
 * Between what limits the true standard deviation lies.
 * @param confidence 0 to 1; 0.95 leaves 2.5 % beyond each limit
 * @returns with four degrees of freedom 0.60 and 2.87 times the measured one
 * Source: χ² interval for a variance, e.g. NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.3.1
 */
export function spreadLimits(
  spread: Spread,
  confidence = 0.95,
): { readonly low: number; readonly high: number } {
  const { standardDeviation, degreesOfFreedom } = spread;
  const tail = (1 - confidence) / 2;
  const limit = (p: number) =>
    standardDeviation * Math.sqrt(degreesOfFreedom / chiSquareQuantile(p, degreesOfFreedom));
  return { low: limit(1 - tail), high: limit(tail) };
}

/** One spread from several builds' remounts, each build around its own mean; null where no build has two. */
export function pooledSpread(builds: readonly (readonly number[])[]): Spread | null {
  const degreesOfFreedom = builds.reduce((sum, values) => sum + Math.max(0, values.length - 1), 0);
  if (degreesOfFreedom === 0) return null;
  const squares = builds.reduce((sum, values) => {
    const mean = values.reduce((a, b) => a + b, 0) / values.length;
    return sum + values.reduce((part, value) => part + (value - mean) ** 2, 0);
  }, 0);
  return { standardDeviation: Math.sqrt(squares / degreesOfFreedom), degreesOfFreedom };
}
