import { reversals } from './monotone-strokes.js';
import type { MotionGrid } from './motion-grid.js';

/** A term that is linear in the fit; `dragCompression` and `dragRebound` multiply the seal's state. */
export type TermName =
  | 'dragCompression'
  | 'dragRebound'
  | 'offset'
  | 'gas1'
  | 'gas2'
  | 'gas3'
  | 'gas4'
  | 'linearCompression'
  | 'linearRebound'
  | 'quadraticCompression'
  | 'quadraticRebound'
  | 'thinning'
  | 'ceiling'
  | 'ceilingRise'
  | 'stop'
  | 'mass';

/** Stroke coordinate z in −1…1, and the way back to it. */
export interface StrokeSpan {
  readonly low_m: number;
  readonly high_m: number;
}

export const strokeCoordinate = (span: StrokeSpan, position_m: number): number =>
  (2 * (position_m - span.low_m)) / (span.high_m - span.low_m) - 1;

/** Legendre polynomials P₁…P₄, nearly uncorrelated over a stroke, so that gas terms can be dropped one by one. */
export const legendre: Readonly<Record<'gas1' | 'gas2' | 'gas3' | 'gas4', (z: number) => number>> = {
  gas1: (z) => z,
  gas2: (z) => 0.5 * (3 * z * z - 1),
  gas3: (z) => 0.5 * z * (5 * z * z - 3),
  gas4: (z) => (35 * z ** 4 - 30 * z * z + 3) / 8,
};

/** Derivatives of the same polynomials by z. */
export const legendreSlope: Readonly<Record<'gas1' | 'gas2' | 'gas3' | 'gas4', (z: number) => number>> = {
  gas1: () => 1,
  gas2: (z) => 3 * z,
  gas3: (z) => 0.5 * (15 * z * z - 3),
  gas4: (z) => (140 * z ** 3 - 60 * z) / 8,
};

/** What a shock may do beyond gas, drag and damping; each is tried and kept only where it explains the recording. */
export interface Features {
  /** Whether damping builds up only over a dead stroke after each reversal. */
  readonly air: boolean;
  /** Grid points at which compression damping stands at its ceiling. */
  readonly atCeiling: Uint8Array | null;
  /** End of travel at which something is touched: 1 deep in compression, −1 near full extension. */
  readonly stopSide: 1 | -1 | null;
}

export const noFeatures: Features = { air: false, atCeiling: null, stopSide: null };

/** Terms that change with a dead stroke, and those that change where something is touched. */
export const dampingTerms: readonly TermName[] = [
  'linearCompression',
  'linearRebound',
  'quadraticCompression',
  'quadraticRebound',
  'thinning',
];

/**
 * Regressors that depend on the motion alone, on its grid.
 * @param features what else the shock does
 * @param stop_m position at which something is touched, where `features` has a stop
 * @param shaping multiplies the damping columns point by point (dead stroke), null for oil without air
 * @returns one column per term, N per unit of its coefficient; null for the drag terms, which follow the seal
 */
export function motionColumn(
  term: TermName,
  grid: MotionGrid,
  span: StrokeSpan,
  features: Features,
  stop_m: number,
  shaping: Float64Array | null,
): Float64Array | null {
  const { position_m, velocity_m_per_s: v, acceleration_m_per_s2 } = grid;
  const n = position_m.length;
  const { atCeiling, stopSide } = features;
  const shaped = (k: number) => (shaping ? shaping[k] : 1);
  const belowCeiling = (k: number) => !atCeiling || atCeiling[k] === 0;
  switch (term) {
    case 'dragCompression':
    case 'dragRebound':
      return null;
    case 'offset':
      return new Float64Array(n).fill(1);
    case 'gas1':
    case 'gas2':
    case 'gas3':
    case 'gas4': {
      const polynomial = legendre[term];
      return position_m.map((x) => polynomial(strokeCoordinate(span, x)));
    }
    case 'linearCompression':
      return v.map((value, k) => (value > 0 && belowCeiling(k) ? value * shaped(k) : 0));
    case 'linearRebound':
      return v.map((value, k) => (value < 0 ? value * shaped(k) : 0));
    case 'quadraticCompression':
      return v.map((value, k) => (value > 0 && belowCeiling(k) ? value * value * shaped(k) : 0));
    case 'quadraticRebound':
      return v.map((value, k) => (value < 0 ? -value * value * shaped(k) : 0));
    case 'thinning':
      return warmthOf(v).map((warmth, k) => (belowCeiling(k) ? warmth * v[k] * shaped(k) : 0));
    case 'ceiling':
      return v.map((_, k) => (belowCeiling(k) ? 0 : 1));
    case 'ceilingRise':
      return position_m.map((x, k) => (belowCeiling(k) ? 0 : strokeCoordinate(span, x)));
    case 'stop': {
      const side = stopSide ?? 1;
      return position_m.map((x) => side * Math.max(0, side * (x - stop_m)));
    }
    case 'mass':
      return acceleration_m_per_s2.slice();
  }
}

/** Travel since the last reversal at each grid point, m; from the first point on, the recording's start counts as one. */
export function travelSinceReversal(position_m: Float64Array, hysteresis_m: number): Float64Array {
  const travel = new Float64Array(position_m.length);
  let from = 0;
  for (const { at } of reversals(position_m, hysteresis_m)) {
    for (let k = from; k <= at; k++) travel[k] = Math.abs(position_m[k] - position_m[from]);
    from = at;
  }
  return travel;
}

/**
 * How far the oil has warmed, on a scale of 1 from start to end and 0 on average: what it has dissipated so far,
 * with the viscous share v² standing for the power. Heat lost meanwhile is left out.
 */
function warmthOf(velocity_m_per_s: Float64Array): Float64Array {
  const warmth = new Float64Array(velocity_m_per_s.length);
  let sum = 0;
  let mean = 0;
  for (let k = 0; k < warmth.length; k++) {
    sum += velocity_m_per_s[k] ** 2;
    warmth[k] = sum;
    mean += sum / warmth.length;
  }
  return sum > 0 ? warmth.map((value) => (value - mean) / sum) : warmth;
}
