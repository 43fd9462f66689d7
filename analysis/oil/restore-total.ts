import { commonSpeeds } from '../curves/common-speeds.js';
import { type ForceCurve, totalCurve } from '../curves/force-curve.js';
import { forceOn } from '../curves/read-curve.js';
import { errorModes } from '../curves/two-terms.js';
import { estimateOf } from '../estimate.js';
import { levenbergMarquardt } from '../numerics/levenberg-marquardt.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import {
  askedSpeeds,
  type ComparedTotals,
  type DampedBuild,
  type RestoreOptions,
  totalsCompared,
  withOil,
} from './compare-totals.js';
import type { Oil } from './oil.js';
import { broughtTo } from './similarity.js';

export interface RestoredTotal extends ComparedTotals {
  /** Oil to pour in over the oil that is in the build after the change, at one temperature. */
  readonly viscosityRatio: Estimate;
  /** m²/s at 25 °C, where the present oil is known. */
  readonly wantedViscosity25_m2_per_s: Estimate | null;
}

export type RestoreRefusal = Refusal<'no-drag' | 'no-common-speeds' | 'no-ratio'>;
export type RestoreOutcome =
  | { readonly ok: true; readonly restored: RestoredTotal }
  | { readonly ok: false; readonly refusal: RestoreRefusal };

const widest = Math.log(50);

/**
 * The oil that brings back a build's former total force after its drag changed, as with a new seal.
 * @param before, after builds with the same piston
 * @returns the viscosity ratio with its interval, what remains at each speed, and where oil cannot replace drag
 * Numerical notes: least mean squared relative deviation of drag plus damping over the speeds asked for; damping of
 *   both is brought to the former build's temperature.
 */
export function restoreTotal(
  before: DampedBuild,
  after: DampedBuild,
  options: RestoreOptions = {},
): RestoreOutcome {
  const { present = null } = options;
  const former = totalCurve(before.damping, before.friction);
  const start = broughtTo(after.damping, before.damping.temperature_degC, present);
  if (!former || !totalCurve(start, after.friction))
    return refuse('no-drag', 'a build whose drag is not known', 'drag of both builds');
  const asked = askedSpeeds(former, options);

  const fitRatio = (
    wanted: ForceCurve,
    base: ForceCurve,
    friction: DampedBuild['friction'],
  ): number | null => {
    const velocities = commonSpeeds(wanted, wanted, 1, 0).filter((v) => asked(v) && forceOn(base, v));
    if (velocities.length === 0) return null;
    const forces = velocities.map((v) => forceOn(wanted, v)!.force_N);
    const fit = levenbergMarquardt({
      start: [0],
      lower: [-widest],
      upper: [widest],
      typicalSize: [0.05],
      residualCount: velocities.length,
      residualsInto(out, [logRatio]) {
        const total = totalCurve(withOil(base, Math.exp(logRatio)), friction)!;
        for (let i = 0; i < out.length; i++) out[i] = forceOn(total, velocities[i])!.force_N / forces[i] - 1;
      },
    });
    return fit.converged && fit.onBound.length === 0 ? Math.exp(fit.parameters[0]) : null;
  };

  if (!commonSpeeds(former, former, 1, 0).some((v) => asked(v) && forceOn(start, v)))
    return refuse(
      'no-common-speeds',
      'no speed measured on both builds in the range asked for',
      'common speeds',
    );
  const ratio = fitRatio(former, start, after.friction);
  if (ratio === null)
    return refuse(
      'no-ratio',
      'no oil that comes near the former total',
      'a former total above the drag of now',
    );
  const variations = [
    ...errorModes(start).map((erring) => fitRatio(former, erring, after.friction)),
    ...errorModes(before.damping).map((erring) =>
      fitRatio(totalCurve(erring, before.friction)!, start, after.friction),
    ),
    fitRatio(totalCurve(before.damping, dragOff(before.friction))!, start, after.friction),
    fitRatio(former, start, dragOff(after.friction)),
  ].map((varied) => (varied ?? ratio) - ratio);
  const viscosityRatio = estimateOf(ratio, Math.hypot(...variations));
  return {
    ok: true,
    restored: {
      viscosityRatio,
      wantedViscosity25_m2_per_s: present && wantedViscosity(present, viscosityRatio),
      ...totalsCompared(before, after, ratio, options)!,
    },
  };
}

const refuse = (code: RestoreRefusal['code'], found: string, wanted: string): RestoreOutcome => ({
  ok: false,
  refusal: { code, found, wanted },
});

function wantedViscosity(present: Oil, ratio: Estimate): Estimate {
  const value = ratio.value * present.viscosity25_m2_per_s;
  return estimateOf(value, value * Math.hypot(present.uncertainty, ratio.standardError / ratio.value));
}

/** The friction with its mean off by one standard error. */
function dragOff(friction: DampedBuild['friction']): DampedBuild['friction'] {
  const error = friction.mean_N?.standardError ?? 0;
  const off = (estimate: Estimate | null) => estimate && { ...estimate, value: estimate.value + error };
  return {
    ...friction,
    compression_N: off(friction.compression_N),
    rebound_N: off(friction.rebound_N),
    mean_N: off(friction.mean_N),
  };
}
