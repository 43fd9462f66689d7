import { commonSpeeds } from '../curves/common-speeds.js';
import { type Direction, directions, type ForceCurve } from '../curves/force-curve.js';
import { curveReader, forceOn } from '../curves/read-curve.js';
import { atCeiling, errorModes, withoutBentSides, withoutCeiling } from '../curves/two-terms.js';
import { estimateOf } from '../estimate.js';
import { levenbergMarquardt } from '../numerics/levenberg-marquardt.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { type Oil, thinning } from './oil.js';
import { thinningUncertainty } from './similarity.js';

export interface ViscosityRatio {
  /** Wanted over present, kinematic, both at 25 °C. */
  readonly ratio: Estimate;
  /** Root mean square of what the best ratio leaves, relative to the wanted force: what no oil can change. */
  readonly misfit: number;
  /** True where one of the two temperatures is not known, so that equal temperatures are taken for granted. */
  readonly temperatureAssumed: boolean;
  /** True where the wanted curve is faster than the measured one, scaled, reaches. */
  readonly extrapolated: boolean;
  /** Directions that were not used, see `withoutBentSides`. */
  readonly leftOut: readonly Direction[];
}

export type RatioRefusal = Refusal<'no-common-speeds' | 'no-ratio'>;
export type RatioOutcome =
  | { readonly ok: true; readonly found: ViscosityRatio }
  | { readonly ok: false; readonly refusal: RatioRefusal };

export interface RatioOptions {
  /** Density of the wanted oil over that of the present one; equal where nothing is said. */
  readonly densityRatio?: number;
  /** The oil whose thinning brings both to 25 °C; silicone where it is not known. */
  readonly oil?: Oil | null;
}

/** Slowest speed used, as a share of the wanted curve's fastest: slower ones tell nothing about the quadratic part. */
const slowestShare = 0.2;
const widest = Math.log(50);

/**
 * How much thicker the oil behind one damping curve is than that behind another, in the same piston.
 * @param measured, target damping curves; what `withoutBentSides` leaves out of them is not used
 * @returns the ratio with its interval from both curves' bands and from the temperature correction
 * Numerical notes: the ratio with the least mean squared relative deviation over the wanted curve's speeds, both
 *   directions together; see `inOtherOil` for how a curve follows the oil.
 */
export function viscosityRatio(
  measured: ForceCurve,
  target: ForceCurve,
  options: RatioOptions = {},
): RatioOutcome {
  const { densityRatio = 1, oil = null } = options;
  const { curve: have, leftOut: here } = withoutBentSides(measured);
  const { curve: want, leftOut: there } = withoutBentSides(target);
  const best = bestRatio(have, want, densityRatio);
  if (!best.ok) return best;
  const [warm, wantedWarm] = [have.temperature_degC, want.temperature_degC];
  const known = warm !== null && wantedWarm !== null;
  const correction = known ? thinning(oil, warm) / thinning(oil, wantedWarm) : 1;
  const changes = [
    ...errorModes(have).map((erring) => bestRatio(erring, want, densityRatio)),
    ...errorModes(want).map((erring) => bestRatio(have, erring, densityRatio)),
  ].map((outcome) => (outcome.ok ? Math.log(outcome.ratio / best.ratio) : 0));
  const relative = Math.hypot(...changes, thinningUncertainty * Math.log(correction));
  const ratio = best.ratio * correction;
  return {
    ok: true,
    found: {
      ratio: estimateOf(ratio, ratio * relative),
      misfit: best.misfit,
      temperatureAssumed: !known,
      extrapolated: best.extrapolated,
      leftOut: directions.filter((direction) => here.includes(direction) || there.includes(direction)),
    },
  };
}

type Best =
  | { readonly ok: true; readonly ratio: number; readonly misfit: number; readonly extrapolated: boolean }
  | { readonly ok: false; readonly refusal: RatioRefusal };

function bestRatio(have: ForceCurve, want: ForceCurve, densityRatio: number): Best {
  const speeds = commonSpeeds(want, want, 1, slowestShare).filter(
    (v) => forceOn(have, v) && !onCeiling(want, v),
  );
  if (speeds.length === 0)
    return {
      ok: false,
      refusal: {
        code: 'no-common-speeds',
        found: 'curves that share no usable direction of movement below the ceiling',
        wanted: 'damping in the same direction',
      },
    };
  const wanted = speeds.map((v) => forceOn(want, v)!.force_N);
  const read = curveReader(withoutCeiling(have));
  const fit = levenbergMarquardt({
    start: [0],
    lower: [-widest],
    upper: [widest],
    typicalSize: [0.05],
    stepTolerance: 1e-8,
    residualCount: speeds.length,
    residualsInto(out, [logRatio]) {
      const ratio = Math.exp(logRatio);
      for (let i = 0; i < out.length; i++)
        out[i] = (densityRatio * ratio ** 2 * read(speeds[i] / ratio)!.force_N) / wanted[i] - 1;
    },
  });
  const ratio = Math.exp(fit.parameters[0]);
  if (fit.onBound.length > 0 || !fit.converged)
    return {
      ok: false,
      refusal: {
        code: 'no-ratio',
        found: `best agreement at ${ratio.toFixed(2)} times the viscosity`,
        wanted: 'a curve that some oil between 1/50 and 50 times as thick comes near',
      },
    };
  return {
    ok: true,
    ratio,
    misfit: Math.sqrt(fit.rss / speeds.length),
    extrapolated: speeds.some((v) => read(v / ratio)!.extrapolated),
  };
}

const onCeiling = (curve: ForceCurve, velocity_m_per_s: number): boolean =>
  atCeiling(curve, { velocity_m_per_s, force_N: forceOn(curve, velocity_m_per_s)!.force_N });
