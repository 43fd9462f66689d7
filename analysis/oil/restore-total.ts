import { commonSpeeds } from '../curves/common-speeds.js';
import {
  type Direction,
  directionOf,
  directions,
  type ForceCurve,
  totalCurve,
} from '../curves/force-curve.js';
import { forceOn } from '../curves/read-curve.js';
import { errorModes } from '../curves/two-terms.js';
import { estimateOf } from '../estimate.js';
import { levenbergMarquardt } from '../numerics/levenberg-marquardt.js';
import type { Refusal } from '../refusal.js';
import type { Estimate, RecordingAnalysis } from '../result.js';
import type { Oil } from './oil.js';
import { broughtTo, inOtherOil } from './similarity.js';

/** A build as the seat of a truck feels it: damping and drag. */
export interface DampedBuild {
  readonly damping: ForceCurve;
  readonly friction: RecordingAnalysis['friction'];
}

/** Total force at one velocity, before and with the best oil after. */
export interface RestoredSpeed {
  readonly velocity_m_per_s: number;
  readonly before_N: number;
  readonly after_N: number;
  /** Of the magnitudes: negative where the new build stays below the old. */
  readonly deviation_N: number;
  readonly deviation_percent: number;
  readonly restored: boolean;
}

export interface RestoredTotal {
  /** Oil to pour in over the oil that is in the build after the change, at one temperature. */
  readonly viscosityRatio: Estimate;
  /** m²/s at 25 °C, where the present oil is known. */
  readonly wantedViscosity25_m2_per_s: Estimate | null;
  /** Drag that the change took away (negative: added), mean of the directions. */
  readonly dragLost_N: number;
  readonly speeds: readonly RestoredSpeed[];
  /**
   * Speed up to which the total force stays off by more than the tolerance, per direction: damping fades with speed
   * and drag does not, so oil cannot stand in for drag there. Zero where the whole range is restored.
   */
  readonly notRestoredBelow_m_per_s: Readonly<Record<Direction, number>>;
  readonly extrapolated: boolean;
}

export type RestoreRefusal = Refusal<'no-drag' | 'no-common-speeds' | 'no-ratio'>;
export type RestoreOutcome =
  | { readonly ok: true; readonly restored: RestoredTotal }
  | { readonly ok: false; readonly refusal: RestoreRefusal };

export interface RestoreOptions {
  /** Shaft speeds over which the total force should come back; default a quarter of the fastest to the fastest. */
  readonly from_m_per_s?: number;
  readonly to_m_per_s?: number;
  readonly tolerance_percent?: number;
  /** Oil in the build after the change. */
  readonly present?: Oil | null;
}

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
  const { tolerance_percent = 10, present = null } = options;
  const former = totalCurve(before.damping, before.friction);
  const start = broughtTo(after.damping, before.damping.temperature_degC, present);
  if (!former || !totalCurve(start, after.friction))
    return refuse('no-drag', 'a build whose drag is not known', 'drag of both builds');
  const fastest = Math.max(...former.points.map(({ velocity_m_per_s }) => Math.abs(velocity_m_per_s)));
  const { from_m_per_s = 0.25 * fastest, to_m_per_s = fastest } = options;
  const asked = (v: number) => Math.abs(v) >= from_m_per_s && Math.abs(v) <= to_m_per_s;

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
  const total = totalCurve(withOil(start, ratio), after.friction)!;
  const speeds = commonSpeeds(former, former, 1, 0)
    .filter((v) => Math.abs(v) <= to_m_per_s)
    .flatMap((velocity_m_per_s): RestoredSpeed[] => {
      const now = forceOn(total, velocity_m_per_s);
      if (!now) return [];
      const before_N = Math.abs(forceOn(former, velocity_m_per_s)!.force_N);
      const after_N = Math.abs(now.force_N);
      const deviation_percent = 100 * (after_N / before_N - 1);
      return [
        {
          velocity_m_per_s,
          before_N,
          after_N,
          deviation_N: after_N - before_N,
          deviation_percent,
          restored: Math.abs(deviation_percent) <= tolerance_percent,
        },
      ];
    });
  return {
    ok: true,
    restored: {
      viscosityRatio,
      wantedViscosity25_m2_per_s: present && wantedViscosity(present, viscosityRatio),
      dragLost_N: meanDrag(before.friction) - meanDrag(after.friction),
      speeds,
      notRestoredBelow_m_per_s: {
        compression: highestMiss(speeds, directions[0]),
        rebound: highestMiss(speeds, directions[1]),
      },
      extrapolated: speeds.some(({ velocity_m_per_s }) => forceOn(total, velocity_m_per_s)!.extrapolated),
    },
  };
}

const withOil = (damping: ForceCurve, viscosityRatio: number): ForceCurve =>
  inOtherOil(damping, { viscosityRatio, densityRatio: 1 });

const refuse = (code: RestoreRefusal['code'], found: string, wanted: string): RestoreOutcome => ({
  ok: false,
  refusal: { code, found, wanted },
});

function wantedViscosity(present: Oil, ratio: Estimate): Estimate {
  const value = ratio.value * present.viscosity25_m2_per_s;
  return estimateOf(value, value * Math.hypot(present.uncertainty, ratio.standardError / ratio.value));
}

/** Mean of the directions' drag, or the mean itself. */
function meanDrag({ compression_N, rebound_N, mean_N }: DampedBuild['friction']): number {
  return compression_N && rebound_N
    ? (compression_N.value + rebound_N.value) / 2
    : (mean_N?.value ?? Number.NaN);
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

function highestMiss(speeds: readonly RestoredSpeed[], direction: Direction): number {
  const side = speeds
    .filter(({ velocity_m_per_s }) => directionOf(velocity_m_per_s) === direction)
    .sort((a, b) => Math.abs(a.velocity_m_per_s) - Math.abs(b.velocity_m_per_s));
  const firstRestored = side.findIndex(({ restored }) => restored);
  if (firstRestored === 0) return 0;
  const last = firstRestored < 0 ? side.at(-1) : side[firstRestored - 1];
  return Math.abs(last?.velocity_m_per_s ?? 0);
}
