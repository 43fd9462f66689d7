import { commonSpeeds } from '../curves/common-speeds.js';
import {
  type Direction,
  directionOf,
  directions,
  type ForceCurve,
  totalCurve,
} from '../curves/force-curve.js';
import { forceOn } from '../curves/read-curve.js';
import type { RecordingAnalysis } from '../result.js';
import { allowed_N, everywhere, type Tolerance } from '../target/tolerance.js';
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
  /** Among the speeds over which the total force should come back. */
  readonly asked: boolean;
  readonly extrapolated: boolean;
}

export interface ComparedTotals {
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

export interface RestoreOptions {
  /** Shaft speeds over which the total force should come back; default a quarter of the fastest to the fastest. */
  readonly from_m_per_s?: number;
  readonly to_m_per_s?: number;
  /** What still counts as restored; 10 % everywhere where nothing is said. */
  readonly tolerances?: readonly Tolerance[];
  /** Oil in the build after the change. */
  readonly present?: Oil | null;
}

/**
 * How a build's total force compares with the former one's once its oil is so many times as thick.
 * @param before, after builds with the same piston
 * @param viscosityRatio of the oil poured in over the one that is in the build after the change, at one temperature
 * @returns null where the drag of one is not known
 */
export function totalsCompared(
  before: DampedBuild,
  after: DampedBuild,
  viscosityRatio: number,
  options: RestoreOptions = {},
): ComparedTotals | null {
  const { present = null, tolerances = everywhere(10) } = options;
  const former = totalCurve(before.damping, before.friction);
  const start = broughtTo(after.damping, before.damping.temperature_degC, present);
  const total = totalCurve(withOil(start, viscosityRatio), after.friction);
  if (!former || !total) return null;
  const asked = askedSpeeds(former, options);
  const speeds = commonSpeeds(former, former, 1, 0).flatMap((velocity_m_per_s): RestoredSpeed[] => {
    const now = forceOn(total, velocity_m_per_s);
    if (!now) return [];
    const before_N = Math.abs(forceOn(former, velocity_m_per_s)!.force_N);
    const after_N = Math.abs(now.force_N);
    const allowed = allowed_N(tolerances, velocity_m_per_s, before_N);
    return [
      {
        velocity_m_per_s,
        before_N,
        after_N,
        deviation_N: after_N - before_N,
        deviation_percent: 100 * (after_N / before_N - 1),
        restored: allowed === null || Math.abs(after_N - before_N) <= allowed,
        asked: asked(velocity_m_per_s),
        extrapolated: now.extrapolated,
      },
    ];
  });
  return {
    dragLost_N: meanDrag(before.friction) - meanDrag(after.friction),
    speeds,
    notRestoredBelow_m_per_s: {
      compression: highestMiss(speeds, directions[0]),
      rebound: highestMiss(speeds, directions[1]),
    },
    extrapolated: speeds.some(({ extrapolated }) => extrapolated),
  };
}

/** Whether a signed velocity is among those over which the total force should come back. */
export function askedSpeeds(
  former: ForceCurve,
  options: RestoreOptions,
): (velocity_m_per_s: number) => boolean {
  const fastest = Math.max(...former.points.map(({ velocity_m_per_s }) => Math.abs(velocity_m_per_s)));
  const { from_m_per_s = 0.25 * fastest, to_m_per_s = fastest } = options;
  return (v) => Math.abs(v) >= from_m_per_s && Math.abs(v) <= to_m_per_s;
}

/** Damping in an oil of the same density, so many times as thick. */
export const withOil = (damping: ForceCurve, viscosityRatio: number): ForceCurve =>
  inOtherOil(damping, { viscosityRatio, densityRatio: 1 });

/** Mean of the directions' drag, or the mean itself. */
function meanDrag({ compression_N, rebound_N, mean_N }: DampedBuild['friction']): number {
  return compression_N && rebound_N
    ? (compression_N.value + rebound_N.value) / 2
    : (mean_N?.value ?? Number.NaN);
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
