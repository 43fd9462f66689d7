import {
  type Corner,
  coverage95,
  type DampingRatio,
  dampingRatios,
  type Estimate,
  type ForceCurve,
  standingOf,
} from '../../analysis/index.js';
import type { CornerShock } from './corner.js';

/** A damping ratio with its interval. */
export type UncertainDampingRatio = Pick<DampingRatio, 'speed_m_per_s' | 'dragShare' | 'extrapolated'> & {
  readonly total: Estimate;
};

/** Share of a rate below which no interval of it is followed: a spring that may be none has no frequency. */
const leastRate = 0.01;

/**
 * Ride frequency of a corner with the interval that the spring's rate leaves it; masses and motion ratio are taken as
 * given.
 */
export function frequencyOf(corner: Corner, rate_N_per_m: Estimate): Estimate {
  const at = (spring_N_per_m: number) => standingOf({ ...corner, spring_N_per_m }).frequency_Hz;
  return between(at(rate_N_per_m.value), [[at(lowOf(rate_N_per_m)), at(rate_N_per_m.high95)]]);
}

/**
 * Damping ratios with intervals from those of damping, drag and rate.
 * Numerical notes: each is moved to either end of its interval alone and what the ratio does is added in squares, so
 *   they count as independent; a curve moves as a whole, which is the worst that its band allows.
 * Source: JCGM 100:2008 (GUM), 5.1.2 and its note on numerical sensitivities
 */
export function dampingRatiosOf(
  corner: Corner,
  { damping, drag }: CornerShock,
  rate_N_per_m: Estimate,
  speeds_m_per_s: readonly number[],
): UncertainDampingRatio[] {
  const ratios = (change: Partial<Corner>) => {
    const changed = { ...corner, ...change };
    return dampingRatios(changed, standingOf(changed), speeds_m_per_s);
  };
  const dragAt = (end: 'low95' | 'high95') => ({
    drag_N: { compression: Math.max(0, drag.compression[end]), rebound: Math.max(0, drag.rebound[end]) },
  });
  const ends = [
    [ratios({ damping: edgeOf(damping, 'weak') }), ratios({ damping: edgeOf(damping, 'strong') })],
    [ratios(dragAt('low95')), ratios(dragAt('high95'))],
    // A stiffer spring has more critical damping, so the ratio falls.
    [ratios({ spring_N_per_m: rate_N_per_m.high95 }), ratios({ spring_N_per_m: lowOf(rate_N_per_m) })],
  ] as const;
  return ratios({}).map(({ speed_m_per_s, total, dragShare, extrapolated }, i) => ({
    speed_m_per_s,
    dragShare,
    extrapolated,
    total: between(
      total,
      ends.map(([low, high]) => [low[i]!.total, high[i]!.total]),
    ),
  }));
}

const lowOf = ({ value, low95 }: Estimate): number => Math.max(leastRate * value, low95);

/** One edge of a curve's band, never across zero. */
function edgeOf(curve: ForceCurve, edge: 'weak' | 'strong'): ForceCurve {
  return {
    ...curve,
    points: curve.points.map((point) => {
      const side = Math.sign(point.velocity_m_per_s);
      const magnitudes = [side * point.low95_N, side * point.high95_N];
      const magnitude = edge === 'weak' ? Math.max(0, Math.min(...magnitudes)) : Math.max(...magnitudes);
      return { ...point, force_N: side * magnitude };
    }),
  };
}

/** A value with what several independent causes do to it, each at both of its ends. */
function between(value: number, causes: readonly (readonly [low: number, high: number])[]): Estimate {
  const reach = (end: 0 | 1) => Math.hypot(...causes.map((ends) => ends[end] - value));
  const [down, up] = [reach(0), reach(1)];
  return {
    value,
    standardError: (down + up) / 2 / coverage95(),
    low95: value - down,
    high95: value + up,
  };
}
