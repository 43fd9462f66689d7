import { leastSquares } from '../numerics/linear.js';
import type { CurvePoint } from '../result.js';
import { type Direction, directionOf, directions, type ForceCurve, sideOf } from './force-curve.js';

/** One direction of a damping curve as linear·v + quadratic·v², magnitudes, with the covariance its band implies. */
export interface TwoTerms {
  readonly linear_Ns_per_m: number;
  readonly quadratic_Ns2_per_m2: number;
  /** Lower triangular L with covariance = L·Lᵀ: errors of [linear, quadratic] are L times independent unit errors. */
  readonly errors: readonly [readonly [number, 0], readonly [number, number]];
  /** False where one speed, or speeds that cannot tell, leave the quadratic part open; it is then 0. */
  readonly quadraticKnown: boolean;
  readonly fastest_m_per_s: number;
}

/** Compression points nearer to the ceiling than this share bend away from damping's two terms. */
const belowCeiling = 0.9;

/** Whether a point of a damping curve lies so near the compression ceiling that more speed hardly raises it. */
export const atCeiling = (
  { ceiling_N }: ForceCurve,
  { velocity_m_per_s, force_N }: Pick<CurvePoint, 'velocity_m_per_s' | 'force_N'>,
): boolean => ceiling_N !== null && velocity_m_per_s > 0 && force_N >= belowCeiling * ceiling_N;

/** The curve as it was measured below its compression ceiling, for being led on as if there were none. */
export const withoutCeiling = (curve: ForceCurve): ForceCurve =>
  curve.ceiling_N === null
    ? curve
    : { ...curve, points: curve.points.filter((point) => !atCeiling(curve, point)), ceiling_N: null };

/**
 * Splits one direction of a damping curve into its linear and quadratic part.
 * @param curve damping; points at the compression ceiling are left out
 * @returns null where the direction has no point
 * Numerical notes: exact where the curve has just these two terms, as a recording's has unless its damping was found to
 *   bend; their covariance then follows from its standard errors, since their square over v² is a parabola in v.
 */
export function twoTerms(curve: ForceCurve, direction: Direction): TwoTerms | null {
  const side = sideOf(curve, direction).filter((point) => !atCeiling(curve, point));
  if (side.length === 0) return null;
  const speeds = Float64Array.from(side, ({ velocity_m_per_s }) => Math.abs(velocity_m_per_s));
  const forces = Float64Array.from(side, ({ force_N }) => Math.abs(force_N));
  const fastest = speeds[speeds.length - 1];
  const strongest = Math.max(...forces);
  const weights = forces.map((force) => 1 / (force + 0.1 * strongest) ** 2);
  const quadraticKnown = speeds[0] < 0.8 * fastest;
  const columns = [speeds, speeds.map((v) => v * v)].slice(0, quadraticKnown ? 2 : 1);
  const [linear, quadratic = 0] = leastSquares(columns, forces, weights).coefficients;
  return {
    linear_Ns_per_m: linear,
    quadratic_Ns2_per_m2: quadratic,
    errors: errorsOfBand(side, quadraticKnown),
    quadraticKnown: quadraticKnown && quadratic !== 0,
    fastest_m_per_s: fastest,
  };
}

function errorsOfBand(side: ForceCurve['points'], quadraticKnown: boolean): TwoTerms['errors'] {
  const speeds = Float64Array.from(side, ({ velocity_m_per_s }) => Math.abs(velocity_m_per_s));
  const variances = Float64Array.from(side, ({ standardError_N }, i) => (standardError_N / speeds[i]) ** 2);
  const ofSpeed = [speeds.map(() => 1), speeds, speeds.map((v) => v * v)];
  const columns = quadraticKnown && side.length >= 3 ? ofSpeed : ofSpeed.slice(0, 1);
  const weights = variances.map((variance) => (variance > 0 ? 1 / variance ** 2 : 1));
  const [a, twice = 0, b = 0] = leastSquares(columns, variances, weights).coefficients;
  const first = Math.sqrt(Math.max(0, a));
  const slope = first > 0 ? twice / (2 * first) : 0;
  return [
    [first, 0],
    [slope, Math.sqrt(Math.max(0, b - slope * slope))],
  ];
}

/** A quadratic part so far below zero, as a share of the linear part at the fastest speed, bends a curve down. */
const bent = 0.05;

/**
 * Leaves out directions whose damping falls behind its own slope as speed rises. Oil in holes and gaps does not do that
 * (flow is concave in the drop, so that the drop is convex in the flow); a compression ceiling that was not told from
 * the damping does, and so does air.
 * @returns the curve without them, and which they are; a bend within twice its standard error is none
 */
export function withoutBentSides(curve: ForceCurve): {
  readonly curve: ForceCurve;
  readonly leftOut: readonly Direction[];
} {
  const leftOut = directions.filter((direction) => {
    const terms = twoTerms(curve, direction);
    if (!terms?.quadraticKnown) return false;
    const { linear_Ns_per_m, quadratic_Ns2_per_m2, fastest_m_per_s, errors } = terms;
    const allowed = (bent * linear_Ns_per_m) / fastest_m_per_s + 2 * Math.hypot(...errors[1]);
    return quadratic_Ns2_per_m2 < -allowed;
  });
  if (leftOut.length === 0) return { curve, leftOut };
  const points = curve.points.filter(
    ({ velocity_m_per_s }) => !leftOut.includes(directionOf(velocity_m_per_s)),
  );
  return { curve: { ...curve, points }, leftOut };
}

/** The curve with the errors of one direction's terms added: what it would be had the measurement erred so. */
export function shifted(
  curve: ForceCurve,
  direction: Direction,
  linear: number,
  quadratic: number,
): ForceCurve {
  const sign = direction === 'compression' ? 1 : -1;
  const points = curve.points.map((point) => {
    const v = point.velocity_m_per_s;
    return v * sign > 0
      ? { ...point, force_N: point.force_N + linear * v + quadratic * v * Math.abs(v) }
      : point;
  });
  return { ...curve, points };
}

/**
 * The curve erring by one standard error along each independent way its measurement may err; an answer's variance is
 * the sum of the squared changes that these make in it.
 */
export function errorModes(curve: ForceCurve): ForceCurve[] {
  return (['compression', 'rebound'] as const).flatMap((direction) => {
    const terms = twoTerms(curve, direction);
    if (!terms) return [];
    const [[first], [slope, second]] = terms.errors;
    const modes: [number, number][] = [
      [first, slope],
      [0, second],
    ];
    return modes
      .filter(([linear, quadratic]) => linear !== 0 || quadratic !== 0)
      .map(([linear, quadratic]) => shifted(curve, direction, linear, quadratic));
  });
}
