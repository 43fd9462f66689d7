import { directions, fastestOf } from '../curves/force-curve.js';
import { type Corner, type CornerRefusal, gravity_m_per_s2, refuseCorner, wheelTravel_m } from './corner.js';
import { dampingRatioOfDecay } from './equivalent-damping.js';
import { type CornerMotion, type CornerState, type PlayedCorner, playCorner } from './motion.js';
import { standingOf } from './standing.js';

/** A landing on all wheels at once. */
export interface Landing {
  readonly drop_m: number;
  readonly impact_m_per_s: number;
  /** Most shock travel used; the whole of it where the stop is reached. */
  readonly travelUsed_m: number;
  readonly stopReached: boolean;
  /** What is left when the stop is reached: speed of the shock, and energy that the stop has to take. */
  readonly speedAtStop_m_per_s: number;
  readonly energyAtStop_J: number;
  /** Largest force of the suspension on the body, as a multiple of its weight; without the stop's. */
  readonly peakLoad: number;
  readonly fastestShock_m_per_s: number;
  /** True where the shock moved faster than its curve was measured. */
  readonly extrapolated: boolean;
  readonly motion: CornerMotion;
  readonly energy: PlayedCorner['energy'];
}

export type LandingOutcome =
  | { readonly ok: true; readonly landing: Landing }
  | { readonly ok: false; readonly refusal: CornerRefusal | DropRefusal };

export interface DropRefusal {
  readonly code: 'bad-drop';
  readonly field: 'drop_m';
  readonly found: string;
  readonly wanted: string;
}

const highestDrop_m = 10;

/**
 * What a corner does when the vehicle lands from a height, wheels hanging at full extension.
 * @param drop_m free fall before the tyre touches, 0 to 10 m
 * @param seconds to follow it for
 */
export function landFrom(corner: Corner, drop_m: number, seconds = 1): LandingOutcome {
  const refusal = refuseCorner(corner);
  if (refusal) return { ok: false, refusal };
  if (!(drop_m >= 0 && drop_m <= highestDrop_m))
    return {
      ok: false,
      refusal: {
        code: 'bad-drop',
        field: 'drop_m',
        found: `a drop of ${drop_m} m`,
        wanted: `0 to ${highestDrop_m} m`,
      },
    };
  const impact_m_per_s = Math.sqrt(2 * gravity_m_per_s2 * drop_m);
  const start: CornerState = {
    body_m: 0,
    bodySpeed_m_per_s: impact_m_per_s,
    wheel_m: 0,
    wheelSpeed_m_per_s: impact_m_per_s,
    seal: 0,
  };
  const swiftest =
    (impact_m_per_s + 1) * (corner.motionRatio + Math.abs(corner.motionRatioSlope_per_m) * corner.travel_m);
  const played = playCorner(corner, start, seconds, swiftest);
  const { motion, stopAt_s, end, energy } = played;
  const closing = end.bodySpeed_m_per_s - end.wheelSpeed_m_per_s;
  return {
    ok: true,
    landing: {
      drop_m,
      impact_m_per_s,
      travelUsed_m: stopAt_s === null ? largest(motion.shockTravel_m) : corner.travel_m,
      stopReached: stopAt_s !== null,
      speedAtStop_m_per_s:
        stopAt_s === null ? 0 : motion.shockSpeed_m_per_s[motion.shockSpeed_m_per_s.length - 1],
      energyAtStop_J: stopAt_s === null ? 0 : 0.5 * corner.sprung_kg * Math.max(0, closing) ** 2,
      peakLoad: largest(motion.onBody_N) / (corner.sprung_kg * gravity_m_per_s2),
      fastestShock_m_per_s: played.fastestShock_m_per_s,
      extrapolated: beyondCurve(corner, played),
      motion,
      energy,
    },
  };
}

/** A body pushed down from its standing height and let go. */
export interface FreeResponse {
  readonly motion: CornerMotion;
  /** Extremes of the body about its standing height, in order, beginning with the push; downward positive. */
  readonly extremes_m: readonly number[];
  /** From the first extreme and the next of the same sign; null where the body does not swing that far. */
  readonly dampingRatio: number | null;
  /** Damped swings a second, from the first three extremes. */
  readonly frequency_Hz: number | null;
  /** How far from its standing height drag lets it come to rest. */
  readonly restsOff_m: number;
  readonly extrapolated: boolean;
}

export type ResponseOutcome =
  | { readonly ok: true; readonly response: FreeResponse }
  | { readonly ok: false; readonly refusal: CornerRefusal };

/**
 * Free response of a corner pushed down at rest.
 * @param push_m of the body from its standing height, at the wheel; brought inside the travel
 */
export function pushAndRelease(corner: Corner, push_m: number, seconds = 2): ResponseOutcome {
  const refusal = refuseCorner(corner);
  if (refusal) return { ok: false, refusal };
  const { sag_m, frequency_Hz } = standingOf(corner);
  const weight_N = (corner.sprung_kg + corner.unsprung_kg) * gravity_m_per_s2;
  const wheel_m = corner.tyre_N_per_m === null ? 0 : weight_N / corner.tyre_N_per_m;
  const room_m = 0.999 * wheelTravel_m(corner, corner.travel_m);
  const start: CornerState = {
    body_m: wheel_m + Math.max(0, Math.min(room_m, sag_m + push_m)),
    bodySpeed_m_per_s: 0,
    wheel_m,
    wheelSpeed_m_per_s: 0,
    seal: 0,
  };
  const swiftest = 2 * Math.PI * frequency_Hz * Math.abs(push_m) * corner.motionRatio + 0.1;
  const played = playCorner(corner, start, seconds, swiftest);
  const { time_s, body_m } = played.motion;
  const offset = body_m.map((at) => at - wheel_m - sag_m);
  const turns = extremesOf(offset);
  const [first, , third] = turns;
  const extremes_m = turns.map((i) => offset[i]);
  // Drag may let it rest on the side it was pushed to; only what passes its height and comes back swings.
  const swings =
    third !== undefined && extremes_m[0] * extremes_m[1] < 0 && extremes_m[0] * extremes_m[2] > 0;
  return {
    ok: true,
    response: {
      motion: played.motion,
      extremes_m,
      dampingRatio: swings ? dampingRatioOfDecay(extremes_m[0] / extremes_m[2], 1) : null,
      frequency_Hz: swings ? 1 / (time_s[third] - time_s[first]) : null,
      restsOff_m: offset[offset.length - 1],
      extrapolated: beyondCurve(corner, played),
    },
  };
}

/** Indices of the start and of every extreme that rises above what rounding makes. */
function extremesOf(values: Float64Array): number[] {
  const least = 1e-3 * Math.abs(values[0]);
  const found = [0];
  for (let i = 1; i < values.length - 1; i++) {
    const [before, here, after] = [values[i - 1], values[i], values[i + 1]];
    const turns = (here - before) * (after - here) < 0 || (here === before && here !== after && i > 1);
    if (turns && Math.abs(here - values[found[found.length - 1]]) > least) found.push(i);
  }
  return found;
}

const largest = (values: Float64Array): number => values.reduce((a, b) => Math.max(a, b));

const beyondCurve = ({ damping }: Corner, { fastestShock_m_per_s }: PlayedCorner): boolean =>
  directions.some((side) => fastestShock_m_per_s > fastestOf(damping, side) * (1 + 1e-9));
