import type { ProcedureName } from '../analysis/index.js';
import type { EventName } from '../firmware-protocol/index.js';

/** One speed of a ladder. The time the drive takes to settle is part of the duration and is recorded like the rest. */
export interface SpeedStep {
  readonly speed_rev_per_s: number;
  readonly duration_s: number;
}

/** What a recording is asked to do. */
export interface Procedure {
  readonly name: ProcedureName;
  /** Crank speeds in their order; empty where the rig is moved by hand or by a drive of its own. */
  readonly steps: readonly SpeedStep[];
  /** Seconds of device time for a procedure without steps, null: until somebody stops it. */
  readonly duration_s: number | null;
}

/** Asked and happened, as kept with the recording. Times count from the recording's first sample. */
export interface ProcedureRecord extends Procedure {
  readonly happened: readonly HappenedStep[];
  readonly events: readonly RecordedEvent[];
}

export interface HappenedStep {
  /** Null while nothing drove the crank. */
  readonly speed_rev_per_s: number | null;
  readonly start_s: number;
  readonly end_s: number;
}

/** What the rig told on the way; `value` as the protocol says for each event. */
export interface RecordedEvent {
  readonly time_s: number;
  readonly event: EventName;
  readonly value: number;
}

/** A speed ladder with given steps. */
export function speedLadder(steps: readonly SpeedStep[]): Procedure {
  return { name: 'speed-ladder', steps, duration_s: null };
}

/** Captures whatever moves the shock, for a time or until stopped. */
export function capture(name: ProcedureName, duration_s: number | null): Procedure {
  return { name, steps: [], duration_s };
}

/**
 * The ladder a rig with a drive runs when nothing else is asked: 24 s over six speeds a factor 20 apart.
 * Slow steps last long enough for more than one revolution; the speeds are not simple fractions of common
 * conversion rates, so that a crank does not meet its samples at the same few phases.
 * Common practice, no source.
 */
export const defaultSpeedLadder: Procedure = speedLadder([
  { speed_rev_per_s: 0.151, duration_s: 8 },
  { speed_rev_per_s: 0.373, duration_s: 5 },
  { speed_rev_per_s: 0.829, duration_s: 4 },
  { speed_rev_per_s: 1.433, duration_s: 3 },
  { speed_rev_per_s: 2.213, duration_s: 2 },
  { speed_rev_per_s: 3.019, duration_s: 2 },
]);

/** Seconds of device time a procedure takes, null where only its owner knows. */
export function plannedDuration_s({ steps, duration_s }: Procedure): number | null {
  return steps.length > 0 ? steps.reduce((sum, step) => sum + step.duration_s, 0) : duration_s;
}
