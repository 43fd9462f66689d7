import type { EventName } from '../../firmware-protocol/index.js';

/** Why the device stopped its drive. */
export interface Trip {
  readonly event: EventName;
  readonly value: number;
}

/** The device's watch over its drive: the host's lease and the load. It trips once and stays tripped. */
export interface DriveGuard {
  readonly tripped: boolean;
  /** True time at which the lease ends, infinite while the drive was not asked to turn. */
  readonly leaseEnd_s: number;
  /** The host was heard. */
  renew(time_s: number): void;
  /** The drive was asked to turn. */
  engage(time_s: number): void;
  /** The drive was asked to stop. */
  release(): void;
  /** Someone re-armed by hand; true when there was something to re-arm. */
  rearm(): boolean;
  /** Looks at the time: a trip when the lease ended or the converter fell silent. */
  lookAtTime(time_s: number): Trip | null;
  /** Looks at a force sample. */
  lookAtForce(time_s: number, counts: number): Trip | null;
  /** Trips for a reason of the rig's own. */
  trip(trip: Trip): Trip | null;
}

export interface GuardLimits {
  readonly lease_s: number;
  readonly conversion_s: number;
  readonly counts_min: number;
  readonly counts_max: number;
  readonly zero_counts: number;
  /** Distance from zero at which the load is too much. */
  readonly overload_counts: number;
}

const stuckSamples = 16;

/**
 * Watches as PROTOCOL.md asks a device to, under "Drive, lease and trips".
 * @param limits read afresh at every look, since a rate command changes the conversion period
 */
export function driveGuard(limits: () => GuardLimits): DriveGuard {
  let tripped = false;
  let engaged = false;
  let heard_s = 0;
  let lastForce_s = 0;
  let lastCounts = Number.NaN;
  let equal = 0;

  const guard: DriveGuard = {
    get tripped() {
      return tripped;
    },
    get leaseEnd_s() {
      return engaged ? heard_s + limits().lease_s : Number.POSITIVE_INFINITY;
    },
    renew(time_s) {
      heard_s = time_s;
    },
    engage(time_s) {
      heard_s = time_s;
      if (!engaged) lastForce_s = time_s;
      engaged = true;
    },
    release() {
      engaged = false;
    },
    rearm() {
      const was = tripped;
      tripped = false;
      return was;
    },
    lookAtTime(time_s) {
      if (time_s >= guard.leaseEnd_s)
        return guard.trip({ event: 'lease-lost', value: Math.round((time_s - heard_s) * 1000) });
      if (engaged && time_s - lastForce_s > 3 * limits().conversion_s)
        return guard.trip({ event: 'sensor-fault', value: 1 });
      return null;
    },
    lookAtForce(time_s, counts) {
      const { counts_min, counts_max, zero_counts, overload_counts } = limits();
      lastForce_s = time_s;
      equal = counts === lastCounts ? equal + 1 : 1;
      lastCounts = counts;
      if (!engaged) return null;
      if (counts <= counts_min || counts >= counts_max)
        return guard.trip({ event: 'sensor-fault', value: 3 });
      if (equal >= stuckSamples) return guard.trip({ event: 'sensor-fault', value: 2 });
      if (Math.abs(counts - zero_counts) > overload_counts)
        return guard.trip({ event: 'overload', value: counts });
      return null;
    },
    trip(trip) {
      if (tripped) return null;
      tripped = true;
      engaged = false;
      return trip;
    },
  };
  return guard;
}
