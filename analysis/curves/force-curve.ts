import { curvePointOf, estimateOf, freedomOfCoverage } from '../estimate.js';
import type { Refusal } from '../refusal.js';
import type { CurvePoint, RecordingAnalysis } from '../result.js';

export type Direction = 'compression' | 'rebound';

export const directions: readonly Direction[] = ['compression', 'rebound'];

/** No crank turns exactly as fast again, and no oil is exactly as warm: so far beyond its own speeds a curve is read. */
export const readBeyond = 1.05;

/** Force against signed velocity of one build, measured or typed: what all planning starts from. */
export interface ForceCurve {
  /** Damping alone, or damping and sliding drag together. */
  readonly kind: 'damping' | 'total';
  /** By increasing velocity, none at zero; the band is the 95 % interval, of no width for an exact curve. */
  readonly points: readonly CurvePoint[];
  /** Of the band's standard errors; Infinity where the band is taken as normal. */
  readonly degreesOfFreedom: number;
  /** Oil temperature at which the curve holds, or null where nobody knows. */
  readonly temperature_degC: number | null;
  /** Damping force in compression that more speed does not raise, or null where none was seen. */
  readonly ceiling_N: number | null;
  /** A recording passes all speeds up to its fastest; a person types the speeds that are meant. */
  readonly origin: 'recording' | 'typed';
}

export type CurveRefusal = Refusal<'too-few-points' | 'not-finite' | 'repeated-speed' | 'wrong-sign'>;

export type CurveOutcome =
  | { readonly ok: true; readonly curve: ForceCurve }
  | { readonly ok: false; readonly refusal: CurveRefusal };

/** A point as a person gives it. */
export type TypedPoint = Pick<CurvePoint, 'velocity_m_per_s' | 'force_N'> & {
  readonly standardError_N?: number;
};

/**
 * Makes a curve from points that a person gave.
 * @param points signed velocities in m/s and forces in N with the sign of the velocity, in any order; a point at rest
 *   is left out; exact where no standard error is given
 * @param about what the curve is; damping at an unknown temperature by default
 * @returns the curve, or why these points are not one
 */
export function typedCurve(
  points: readonly TypedPoint[],
  about: Partial<Pick<ForceCurve, 'kind' | 'temperature_degC' | 'ceiling_N'>> = {},
): CurveOutcome {
  const refuse = (code: CurveRefusal['code'], found: string, wanted: string): CurveOutcome => ({
    ok: false,
    refusal: { code, found, wanted },
  });
  const moving = points
    .filter(({ velocity_m_per_s }) => velocity_m_per_s !== 0)
    .map(({ velocity_m_per_s, force_N, standardError_N = 0 }) =>
      curvePointOf(velocity_m_per_s, estimateOf(force_N, standardError_N)),
    )
    .sort((a, b) => a.velocity_m_per_s - b.velocity_m_per_s);
  if (moving.length === 0)
    return refuse('too-few-points', 'no point at a speed other than zero', 'at least one');
  for (let i = 0; i < moving.length; i++) {
    const { velocity_m_per_s, force_N, standardError_N } = moving[i];
    const at = `${1e3 * velocity_m_per_s} mm/s`;
    if (![velocity_m_per_s, force_N, standardError_N].every(Number.isFinite))
      return refuse('not-finite', `${force_N} N at ${at}`, 'finite numbers');
    if (velocity_m_per_s === moving[i - 1]?.velocity_m_per_s)
      return refuse('repeated-speed', `two forces at ${at}`, 'one force for each speed');
    if (force_N * velocity_m_per_s <= 0)
      return refuse('wrong-sign', `${force_N} N at ${at}`, 'a force with the sign of the velocity');
  }
  return {
    ok: true,
    curve: {
      kind: 'damping',
      temperature_degC: null,
      ceiling_N: null,
      ...about,
      points: moving,
      degreesOfFreedom: Number.POSITIVE_INFINITY,
      origin: 'typed',
    },
  };
}

/** Standard errors that a point's band reaches. */
const reachOf = ({ standardError_N, low95_N, high95_N }: CurvePoint): number =>
  standardError_N > 0 ? (high95_N - low95_N) / (2 * standardError_N) : 0;

const dampingCurves = new WeakMap<RecordingAnalysis, ForceCurve | null>();

/**
 * The damping curve of an analysed recording; null where the recording could not support one. Made once: telling its
 * degrees of freedom from its band takes milliseconds.
 */
export function dampingCurve(analysis: RecordingAnalysis): ForceCurve | null {
  let curve = dampingCurves.get(analysis);
  if (curve === undefined) {
    curve = dampingCurveOf(analysis);
    dampingCurves.set(analysis, curve);
  }
  return curve;
}

function dampingCurveOf(analysis: RecordingAnalysis): ForceCurve | null {
  const points = analysis.damping.curve.filter(({ velocity_m_per_s }) => velocity_m_per_s !== 0);
  if (points.length === 0) return null;
  const ceiling = analysis.findings.find(({ code }) => code === 'compression-ceiling')?.values.force_N;
  return {
    kind: 'damping',
    points,
    // The fewest, which are behind the band that reaches farthest.
    degreesOfFreedom: freedomOfCoverage(Math.max(...points.map(reachOf))),
    temperature_degC: analysis.temperature_degC,
    ceiling_N: typeof ceiling === 'number' ? ceiling : null,
    origin: 'recording',
  };
}

/** The curve with sliding drag added, of the direction where it is known, else the mean; null where there is none. */
export function totalCurve(damping: ForceCurve, friction: RecordingAnalysis['friction']): ForceCurve | null {
  const drags = [friction.rebound_N ?? friction.mean_N, friction.compression_N ?? friction.mean_N];
  if (drags.includes(null)) return null;
  const points = damping.points.map(({ velocity_m_per_s, force_N, standardError_N }) => {
    const drag = drags[velocity_m_per_s > 0 ? 1 : 0]!;
    return curvePointOf(
      velocity_m_per_s,
      estimateOf(
        force_N + Math.sign(velocity_m_per_s) * drag.value,
        Math.hypot(standardError_N, drag.standardError),
        damping.degreesOfFreedom,
      ),
    );
  });
  return { ...damping, kind: 'total', points };
}

export const directionOf = (velocity_m_per_s: number): Direction =>
  velocity_m_per_s > 0 ? 'compression' : 'rebound';

/** Points of one direction by increasing speed. */
export function sideOf(curve: ForceCurve, direction: Direction): readonly CurvePoint[] {
  return direction === 'compression'
    ? curve.points.filter(({ velocity_m_per_s }) => velocity_m_per_s > 0)
    : curve.points.filter(({ velocity_m_per_s }) => velocity_m_per_s < 0).reverse();
}

/** Fastest speed of a direction, m/s, positive; 0 where it has no points. */
export const fastestOf = (curve: ForceCurve, direction: Direction): number =>
  Math.abs(sideOf(curve, direction).at(-1)?.velocity_m_per_s ?? 0);
