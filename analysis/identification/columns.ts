import { reversals } from './monotone-strokes.js';

/** A term that is linear in the fit; those of drag multiply the seal's state. */
export type TermName =
  | 'dragCompression'
  | 'dragRebound'
  | 'dragTaper'
  | 'dragBow'
  | 'offset'
  | 'gas1'
  | 'gas2'
  | 'gas3'
  | 'gas4'
  | 'linearCompression'
  | 'linearRebound'
  | 'quadraticCompression'
  | 'quadraticRebound'
  | 'bendCompression'
  | 'bendRebound'
  | 'thinning'
  | 'ceiling'
  | 'ceilingRise'
  | 'stop'
  | 'mass';

/** The range of positions, which the stroke coordinate z covers from −1 to 1, and the highest speed in it. */
export interface StrokeSpan {
  readonly low_m: number;
  readonly high_m: number;
  readonly fastest_m_per_s: number;
}

export const strokeCoordinate = (span: Pick<StrokeSpan, 'low_m' | 'high_m'>, position_m: number): number =>
  (2 * (position_m - span.low_m)) / (span.high_m - span.low_m) - 1;

/** The power of speed, less 2, at which a bend is what turbulence does to second order; see `bends.ts`. */
const usualBend = -0.15;

/** What a bend of damping adds at a signed velocity that is not 0, N per unit of its coefficient. */
export const bendAt = ({ fastest_m_per_s }: StrokeSpan, velocity_m_per_s: number): number => {
  const speed = Math.abs(velocity_m_per_s);
  const below = Math.log(speed / fastest_m_per_s);
  return velocity_m_per_s * speed * below * (1 + 0.5 * usualBend * below);
};

/** Legendre polynomials P₁…P₄, nearly uncorrelated over a stroke, so that gas terms can be dropped one by one. */
export const legendre: Readonly<Record<'gas1' | 'gas2' | 'gas3' | 'gas4', (z: number) => number>> = {
  gas1: (z) => z,
  gas2: (z) => 0.5 * (3 * z * z - 1),
  gas3: (z) => 0.5 * z * (5 * z * z - 3),
  gas4: (z) => ((35 * z * z - 30) * z * z + 3) / 8,
};

/** Derivatives of the same polynomials by z. */
export const legendreSlope: Readonly<Record<'gas1' | 'gas2' | 'gas3' | 'gas4', (z: number) => number>> = {
  gas1: () => 1,
  gas2: (z) => 3 * z,
  gas3: (z) => 0.5 * (15 * z * z - 3),
  gas4: (z) => ((140 * z * z - 60) * z) / 8,
};

/** What a shock may do beyond gas, drag and damping; each is tried and kept only where it explains the recording. */
export interface Features {
  /** Travel since the last reversal at each grid point, m, where damping builds up over a dead stroke; else null. */
  readonly travel_m: Float64Array | null;
  /** 1 for each grid point at which compression damping stands at its ceiling, else 0; null where there is none. */
  readonly atCeiling: Float64Array | null;
  /** End of travel at which something is touched: 1 deep in compression, −1 near full extension. */
  readonly stopSide: 1 | -1 | null;
}

export const noFeatures: Features = { travel_m: null, atCeiling: null, stopSide: null };

/** Motion at the points where regressors are made: some of a grid's, or the force samples' own. Equal lengths. */
export interface Points {
  readonly position_m: Float64Array;
  /** Stroke coordinate z of those positions. */
  readonly along: Float64Array;
  readonly velocity_m_per_s: Float64Array;
  readonly acceleration_m_per_s2: Float64Array;
  readonly warmth: Float64Array;
  /** As in `Features`. */
  readonly travel_m: Float64Array | null;
  readonly atCeiling: Float64Array | null;
}

/** Terms that a dead stroke changes. */
const dampingTerms: ReadonlySet<TermName> = new Set<TermName>([
  'linearCompression',
  'linearRebound',
  'quadraticCompression',
  'quadraticRebound',
  'bendCompression',
  'bendRebound',
  'thinning',
]);

export const isDamping = (term: TermName): boolean => dampingTerms.has(term);

/** Columns by term. */
export type Columns = Map<TermName, Float64Array>;

/**
 * Fills one regressor that depends on the motion alone, N per unit of its coefficient: damping as in oil without air
 * and below any ceiling. The drag terms, which follow the seal, are not among them.
 * @param out receives n values
 * @param span the stroke's
 * @param stop where something is touched: position, m, and which end of the travel
 */
export function fillMotionColumn(
  out: Float64Array,
  term: TermName,
  points: Points,
  n: number,
  span: StrokeSpan,
  stop: { readonly stop_m: number; readonly side: 1 | -1 },
): void {
  const { position_m: x, along: z, velocity_m_per_s: v, acceleration_m_per_s2, warmth, atCeiling } = points;
  switch (term) {
    case 'offset':
      out.fill(1, 0, n);
      break;
    case 'gas1':
      out.set(z.subarray(0, n));
      break;
    case 'gas2':
      for (let k = 0; k < n; k++) out[k] = legendre.gas2(z[k]);
      break;
    case 'gas3':
      for (let k = 0; k < n; k++) out[k] = legendre.gas3(z[k]);
      break;
    case 'gas4':
      for (let k = 0; k < n; k++) out[k] = legendre.gas4(z[k]);
      break;
    case 'linearCompression':
      for (let k = 0; k < n; k++) out[k] = Math.max(0, v[k]);
      break;
    case 'linearRebound':
      for (let k = 0; k < n; k++) out[k] = Math.min(0, v[k]);
      break;
    case 'quadraticCompression':
      for (let k = 0; k < n; k++) out[k] = v[k] > 0 ? v[k] * v[k] : 0;
      break;
    case 'quadraticRebound':
      for (let k = 0; k < n; k++) out[k] = v[k] < 0 ? -v[k] * v[k] : 0;
      break;
    case 'bendCompression':
      for (let k = 0; k < n; k++) out[k] = v[k] > 0 ? bendAt(span, v[k]) : 0;
      break;
    case 'bendRebound':
      for (let k = 0; k < n; k++) out[k] = v[k] < 0 ? bendAt(span, v[k]) : 0;
      break;
    case 'thinning':
      for (let k = 0; k < n; k++) out[k] = warmth[k] * v[k];
      break;
    case 'ceiling':
      out.set(atCeiling!.subarray(0, n));
      break;
    case 'ceilingRise':
      for (let k = 0; k < n; k++) out[k] = atCeiling![k] * z[k];
      break;
    case 'stop':
      for (let k = 0; k < n; k++) out[k] = stop.side * Math.max(0, stop.side * (x[k] - stop.stop_m));
      break;
    case 'mass':
      out.set(acceleration_m_per_s2.subarray(0, n));
      break;
    default:
      throw new RangeError(`${term} is not a matter of motion alone`);
  }
}

/**
 * Fills one regressor of drag: the seal's state, split by its sign, or as drag changes along the stroke.
 * @param state the seal's at each of n points
 */
export function fillDragColumn(
  out: Float64Array,
  term: TermName,
  state: Float64Array,
  { along: z }: Points,
  n: number,
): void {
  switch (term) {
    case 'dragCompression':
      for (let k = 0; k < n; k++) out[k] = Math.max(state[k], 0);
      break;
    case 'dragRebound':
      for (let k = 0; k < n; k++) out[k] = Math.min(state[k], 0);
      break;
    case 'dragTaper':
      for (let k = 0; k < n; k++) out[k] = state[k] * z[k];
      break;
    case 'dragBow':
      for (let k = 0; k < n; k++) out[k] = state[k] * legendre.gas2(z[k]);
      break;
    default:
      throw new RangeError(`${term} is not drag`);
  }
}

/**
 * A damping column as far as it acts: none where compression stands at its ceiling, and its share after a reversal.
 * @param out receives n values; may be `column`
 * @param shaping n factors of a dead stroke, null for oil without air
 */
export function actingDampingInto(
  out: Float64Array,
  column: Float64Array,
  { atCeiling }: Points,
  shaping: Float64Array | null,
  n: number,
): void {
  if (shaping) for (let k = 0; k < n; k++) out[k] = column[k] * shaping[k];
  else if (out !== column) out.set(column.subarray(0, n));
  if (atCeiling) for (let k = 0; k < n; k++) out[k] *= 1 - atCeiling[k];
}

/** Stroke coordinates of n positions. */
export function alongInto(out: Float64Array, position_m: Float64Array, n: number, span: StrokeSpan): void {
  for (let k = 0; k < n; k++) out[k] = strokeCoordinate(span, position_m[k]);
}

/** Reversals closer together than this do not start a dead stroke anew. */
const reversalHysteresis_m = 0.05e-3;

/** Travel since the last reversal at each grid point, m; the recording's start counts as one. */
export function travelSinceReversal(position_m: Float64Array): Float64Array {
  const travel = new Float64Array(position_m.length);
  let from = 0;
  for (const { at } of reversals(position_m, reversalHysteresis_m)) {
    for (let k = from; k <= at; k++) travel[k] = Math.abs(position_m[k] - position_m[from]);
    from = at;
  }
  return travel;
}
