import { estimateOf } from '../estimate.js';
import { levenbergMarquardt, type NonlinearFit } from '../numerics/levenberg-marquardt.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';

export interface CrankGeometry {
  /** Half the stroke. */
  readonly radius_m: number;
  /** Between the centres of its two pins. */
  readonly rod_m: number;
}

/** A sensor on the crank's shaft. */
export interface CrankScale extends CrankGeometry {
  /** Negative where counts fall while the crank turns on. */
  readonly counts_per_revolution: number;
  /** Counts at full extension, the outer dead centre. */
  readonly zero_counts: number;
}

/**
 * Position of the slide of a slider-crank whose axis passes through the crank's centre.
 * @param angle_rad from the outer dead centre
 * @returns m of compression, 0 at the outer and twice the radius at the inner dead centre
 * Source: R + L − R·cosθ − √(L² − R²·sin²θ), plane geometry
 */
export function slidePosition_m(angle_rad: number, { radius_m, rod_m }: CrankGeometry): number {
  const across_m = radius_m * Math.sin(angle_rad);
  return radius_m + rod_m - radius_m * Math.cos(angle_rad) - Math.sqrt(rod_m * rod_m - across_m * across_m);
}

/** Position from the counts of a sensor on the crank. */
export function positionFromCrank_m(counts: number, scale: CrankScale): number {
  return slidePosition_m((2 * Math.PI * (counts - scale.zero_counts)) / scale.counts_per_revolution, scale);
}

export interface CrankCalibration {
  readonly scale: CrankScale;
  readonly radius_m: Estimate;
  readonly zero_counts: Estimate;
  /** Standard deviation of a length about the geometry, m. */
  readonly standardUncertainty_m: number;
}

export type CrankRefusal = Refusal<
  'too-few-values' | 'not-finite' | 'impossible-crank' | 'one-sided' | 'no-fit'
>;
export type CrankOutcome =
  | { readonly ok: true; readonly calibration: CrankCalibration }
  | { readonly ok: false; readonly refusal: CrankRefusal };

export const fewestCrankPositions = 5;

/**
 * Finds the radius and the dead centre of a crank from positions measured at several angles.
 * @param counts n readings of the angle sensor
 * @param position_m n measured positions of the slide, any common origin
 * @param known rod length and counts per revolution, and a radius to begin with (half the stroke)
 * @returns radius, count at the outer dead centre and scatter; the origin of the measured positions is fitted too
 * Numerical notes: the rod is taken as known: it changes the position by at most R²/(2L), so 1 % of a rod five times
 *   the radius matters 0.1 % of the radius. Positions all on one side of a dead centre tell radius and zero badly:
 *   they must cover half a turn.
 */
export function calibrateCrank(
  counts: Float64Array,
  position_m: Float64Array,
  known: CrankGeometry & { readonly counts_per_revolution: number },
): CrankOutcome {
  const refusal = refuse(counts, position_m, known);
  if (refusal) return { ok: false, refusal };
  const { radius_m, rod_m, counts_per_revolution } = known;
  const perCount_rad = (2 * Math.PI) / counts_per_revolution;
  const origin = Math.min(...position_m) / radius_m;
  let best: NonlinearFit | null = null;
  for (let start = 0; start < 8; start++) {
    const fit = levenbergMarquardt({
      // In units near one: radius and origin over the radius given, dead centre in rad.
      start: [1, (start * Math.PI) / 4, origin],
      typicalSize: [0.01, 0.01, 0.01],
      lower: [0.1, -Infinity, -Infinity],
      upper: [(0.999 * rod_m) / radius_m, Infinity, Infinity],
      residualCount: counts.length,
      residualsInto(out, [radius, centre_rad, offset]) {
        for (let i = 0; i < counts.length; i++) {
          const slide_m = slidePosition_m(counts[i] * perCount_rad - centre_rad, {
            radius_m: radius * radius_m,
            rod_m,
          });
          out[i] = offset + (slide_m - position_m[i]) / radius_m;
        }
      },
    });
    if (!best || fit.rss < best.rss) best = fit;
  }
  const freedom = counts.length - 3;
  const sd = Math.sqrt(best!.rss / freedom);
  if (!(sd < 0.2))
    return {
      ok: false,
      refusal: {
        code: 'no-fit',
        found: `positions that miss a crank of this kind by ${(1e3 * sd * radius_m).toFixed(2)} mm`,
        wanted: 'angles and positions of one crank: are rod, radius and counts a turn right?',
      },
    };
  const [radius, centre_rad] = best!.parameters;
  const [radiusError, centreError] = best!.standardErrors;
  const turn = Math.abs(counts_per_revolution);
  const zero = centre_rad / perCount_rad;
  const wrapped = zero - Math.floor(zero / turn) * turn;
  return {
    ok: true,
    calibration: {
      scale: { radius_m: radius * radius_m, rod_m, counts_per_revolution, zero_counts: wrapped },
      radius_m: estimateOf(radius * radius_m, radiusError * radius_m, freedom),
      zero_counts: estimateOf(wrapped, centreError / Math.abs(perCount_rad), freedom),
      standardUncertainty_m: sd * radius_m,
    },
  };
}

function refuse(
  counts: Float64Array,
  position_m: Float64Array,
  { radius_m, rod_m, counts_per_revolution }: CrankGeometry & { readonly counts_per_revolution: number },
): CrankRefusal | null {
  const make = (code: CrankRefusal['code'], found: string, wanted: string): CrankRefusal => ({
    code,
    found,
    wanted,
  });
  if (!(radius_m > 0 && rod_m > radius_m && counts_per_revolution !== 0))
    return make(
      'impossible-crank',
      `radius ${1e3 * radius_m} mm, rod ${1e3 * rod_m} mm, ${counts_per_revolution} counts a turn`,
      'a rod longer than the radius, and counts a turn that are not zero',
    );
  if (![...counts, ...position_m].every(Number.isFinite))
    return make('not-finite', 'a value that is not a number', 'finite numbers');
  if (counts.length < fewestCrankPositions || counts.length !== position_m.length)
    return make('too-few-values', `${counts.length} positions`, `at least ${fewestCrankPositions}`);
  const travel_m = Math.max(...position_m) - Math.min(...position_m);
  const turned = (Math.max(...counts) - Math.min(...counts)) / Math.abs(counts_per_revolution);
  if (turned < 0.45 || travel_m < radius_m)
    return make(
      'one-sided',
      `${turned.toFixed(2)} of a turn and ${(1e3 * travel_m).toFixed(1)} mm of travel`,
      'positions over at least half a turn',
    );
  return null;
}
