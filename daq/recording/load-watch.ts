import type { ChannelKind } from '../../firmware-protocol/index.js';
import { type Calibration, valuesFromCounts } from '../calibration.js';
import { channelOf, type RigIdentity } from '../link/rig-identity.js';
import type { Logbook } from '../logbook/open-logbook.js';

/** What a drive may do to a rig; null where its owner has set no limit. */
export interface DriveLimits {
  /** Largest force either way, N: a share of the cell's capacity. */
  readonly force_N: number | null;
  /** Longest travel from end to end, m. */
  readonly stroke_m: number | null;
  readonly speed_rev_per_s: number | null;
}

export const noLimits: DriveLimits = { force_N: null, stroke_m: null, speed_rev_per_s: null };

/** What a rig's owner has set down in its profile. */
export function driveLimitsOf(logbook: Logbook, rigName: string): DriveLimits {
  const rigId = logbook.findRig(rigName);
  const profile = rigId === undefined ? undefined : logbook.rigProfile(rigId)?.profile;
  if (!profile) return noLimits;
  const { forceLimit_N, stroke_m, drive } = profile;
  return { force_N: forceLimit_N, stroke_m, speed_rev_per_s: drive?.speedMax_rev_per_s ?? null };
}

/** Equal force counts in a row that no working converter gives; the firmware trips at 16. */
const STUCK_SAMPLES = 18;
/** Samples beyond a limit in a row; the firmware trips at the first. */
const BEYOND_SAMPLES = 2;
/** Conversions missing; the firmware trips at 3. */
const MISSING_CONVERSIONS = 4;
/** A travel longer than the rig's own by more than this is something coming loose, or a slipped sensor. */
const STROKE_SHARE = 1.1;
/** Lost lines say nothing about the converter, but so long without one is too long in any case. */
const UNSEEN_S = 0.25;

/**
 * The host's look at the load while a drive turns: the second line behind the firmware, which trips by itself. Each
 * limit lets one or two samples more pass than the firmware's does, so that where that does its duty, its own words
 * are what is told.
 * @returns a function to be called with every sample of a driven rig; it says what is wrong, in words, or null
 */
export function loadWatch(identity: RigIdentity, calibration: Calibration, limits: DriveLimits) {
  const force = channelOf(identity, 'force')!;
  const declared_us = 1e9 / force.rate_mHz;
  let period_us = declared_us;
  let last_us = Number.NaN;
  let lastCounts = Number.NaN;
  let linesMissing_before = 0;
  let equal = 0;
  let saturated = 0;
  let overloaded = 0;
  let low_m = Number.POSITIVE_INFINITY;
  let high_m = Number.NEGATIVE_INFINITY;

  function lookAtForce(time_us: number, counts: number): string | null {
    const step_us = time_us - last_us;
    // A jumper may have set a slower rate than the rig believes; its own pace counts then.
    if (step_us > 0) period_us = Math.max(declared_us, period_us + (step_us - period_us) / 16);
    last_us = time_us;
    equal = counts === lastCounts ? equal + 1 : 1;
    lastCounts = counts;
    saturated = counts <= force.counts_min || counts >= force.counts_max ? saturated + 1 : 0;
    const force_N = valuesFromCounts('force', [counts], calibration)[0]!;
    overloaded = limits.force_N !== null && Math.abs(force_N) > limits.force_N ? overloaded + 1 : 0;
    if (saturated >= BEYOND_SAMPLES) return `force counts at the end of the converter's range (${counts})`;
    if (equal >= STUCK_SAMPLES) return `force counts stuck at ${counts}`;
    if (overloaded >= BEYOND_SAMPLES)
      return `a force of ${force_N.toPrecision(3)} N, over the limit of ${limits.force_N} N`;
    return null;
  }

  function lookAtPosition(counts: number): string | null {
    if (limits.stroke_m === null) return null;
    const position_m = valuesFromCounts('position', [counts], calibration)[0]!;
    low_m = Math.min(low_m, position_m);
    high_m = Math.max(high_m, position_m);
    if (high_m - low_m <= STROKE_SHARE * limits.stroke_m) return null;
    const mm = (metres: number) => (1000 * metres).toFixed(1);
    return `a travel of ${mm(high_m - low_m)} mm on a rig with ${mm(limits.stroke_m)} mm`;
  }

  /** Any sample's time shows how long the force has not been seen. */
  function lookAtTime(time_us: number, linesMissing: number): string | null {
    const unseen_us = time_us - last_us;
    const isLost = linesMissing > linesMissing_before;
    if (unseen_us <= (MISSING_CONVERSIONS + 0.5) * period_us) return null;
    if (isLost && unseen_us < 1e6 * UNSEEN_S) return null;
    return `no force for ${Math.round(unseen_us / 1000)} ms`;
  }

  return (kind: ChannelKind, time_us: number, counts: number, linesMissing: () => number): string | null => {
    if (Number.isNaN(last_us)) last_us = time_us;
    const late =
      time_us - last_us > period_us * MISSING_CONVERSIONS ? lookAtTime(time_us, linesMissing()) : null;
    if (late) return late;
    if (kind === 'position') return lookAtPosition(counts);
    if (kind !== 'force') return null;
    linesMissing_before = linesMissing();
    return lookAtForce(time_us, counts);
  };
}
