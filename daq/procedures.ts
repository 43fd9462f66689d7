import type { ProcedureName } from '../analysis/index.js';
import type { EventName } from '../firmware-protocol/index.js';

/** One step of a procedure. */
export interface SpeedStep {
  /** Of the crank; null: it stands, for a dwell or to cool down. */
  readonly speed_rev_per_s: number | null;
  /** By a drive: how long. By hand: how long at most. The time to settle is part of it and is recorded like the rest. */
  readonly duration_s: number;
  /** By a drive: after its duration it goes on until the shaft is at an end of its stroke, for half a turn more at most. */
  readonly toEnd?: boolean;
  /** Time at its beginning that no speed is told from; none where it is left out. */
  readonly settle_s?: number;
  /** By hand: the step is over after so many turns within the wanted band. */
  readonly turns?: number;
  /** Standing: over once the temperature has come down to this. */
  readonly until_degC?: number;
}

/** A step in which the crank turns. */
export type TurningStep = SpeedStep & { readonly speed_rev_per_s: number };

/** What a recording is asked to do. */
export interface Procedure {
  readonly name: ProcedureName;
  /** In their order; empty where the rig is moved without being told how. */
  readonly steps: readonly SpeedStep[];
  /** Seconds of device time for a procedure without steps, null: until somebody stops it. */
  readonly duration_s: number | null;
  /** Who makes the speeds of the steps: the rig's drive where it is left out, or a person (a drill counts). */
  readonly movedBy?: 'drive' | 'hand';
}

/** Asked and happened, as kept with the recording. Times count from the recording's first sample. */
export interface ProcedureRecord extends Procedure {
  readonly happened: readonly HappenedStep[];
  readonly events: readonly RecordedEvent[];
}

export interface HappenedStep {
  /** As asked; null while nothing was asked of the crank. */
  readonly speed_rev_per_s: number | null;
  readonly start_s: number;
  readonly end_s: number;
  /** Turns the crank really made after settling, and their mean speed; absent in recordings made before it was looked at. */
  readonly turns?: number;
  readonly measured_rev_per_s?: number | null;
}

/** What the rig told on the way; `value` as the protocol says for each event. */
export interface RecordedEvent {
  readonly time_s: number;
  readonly event: EventName;
  readonly value: number;
}

/** A speed ladder with given steps. */
export function speedLadder<Step extends SpeedStep>(steps: readonly Step[]) {
  return { name: 'speed-ladder', steps, duration_s: null } as const satisfies Procedure;
}

/** Captures whatever moves the shock, for a time or until stopped. */
export function capture(name: ProcedureName, duration_s: number | null): Procedure {
  return { name, steps: [], duration_s };
}

/** How a hand may differ from the wanted speed and still be in its band, as a share. Common practice, no source. */
export const HAND_BAND = 0.25;
/** A hand that does not find the band is not asked for ever. */
const MOST_BY_HAND_S = 120;

/**
 * The ladder a rig with a drive runs when nothing else is asked: 24 s over six speeds a factor 20 apart.
 * Slow steps last long enough for more than one revolution; the speeds are not simple fractions of common
 * conversion rates, so that a crank does not meet its samples at the same few phases.
 * Common practice, no source.
 */
export const defaultSpeedLadder = speedLadder<TurningStep>([
  { speed_rev_per_s: 0.151, duration_s: 8 },
  { speed_rev_per_s: 0.373, duration_s: 5 },
  { speed_rev_per_s: 0.829, duration_s: 4 },
  { speed_rev_per_s: 1.433, duration_s: 3 },
  { speed_rev_per_s: 2.213, duration_s: 2 },
  { speed_rev_per_s: 3.019, duration_s: 2 },
]);

/** Rests of the slow sweep, each longer than the one before, s. */
const STANDS_S = [1, 3, 10, 30];

/**
 * The slow sweep of a rig with a drive, about two minutes: slow turns over a factor of six, which tells drag from
 * damping, and stands at an end of the stroke, longer each time, so that the starts tell what standing does to the seal.
 * Common practice, no source.
 */
export const defaultSlowSweep: Procedure = {
  name: 'slow-sweep',
  steps: [
    { speed_rev_per_s: 0.603, duration_s: 7 },
    { speed_rev_per_s: 0.251, duration_s: 8 },
    { speed_rev_per_s: 0.1, duration_s: 19, toEnd: true },
    ...STANDS_S.flatMap((duration_s) => [
      { speed_rev_per_s: null, duration_s },
      { speed_rev_per_s: 0.1, duration_s: 9, toEnd: true },
    ]),
  ],
  duration_s: null,
};

/** The speeds a hand or a drill is asked for when nothing else is: six whole turns at each. Common practice, no source. */
export const defaultHandLadder: Procedure = byHand([0.15, 0.35, 0.8, 1.5, 2.5], 6);

/** A ladder for a person who turns the crank: whole turns at each of some speeds, each within its band. */
export function byHand(speeds_rev_per_s: readonly number[], turns: number): Procedure {
  const steps = speeds_rev_per_s.map((speed) => ({
    speed_rev_per_s: speed,
    turns,
    duration_s: MOST_BY_HAND_S + turns / speed,
  }));
  return { name: 'speed-ladder', steps, duration_s: null, movedBy: 'hand' };
}

export interface StepRests {
  readonly settle_s?: number;
  /** Time between two speeds in which the drive stands. */
  readonly dwell_s?: number;
  /** Instead of a dwell: stands until so cool, or so long at most. */
  readonly coolDown?: { readonly to_degC: number; readonly atMost_s: number };
}

/**
 * Adds to the steps of a drive what lies between them.
 * @returns the steps, each longer by its settling time, with rests between any two
 */
export function withRests(steps: readonly SpeedStep[], rests: StepRests): SpeedStep[] {
  const { settle_s = 0, dwell_s = 0, coolDown } = rests;
  const rest: SpeedStep | null = coolDown
    ? { speed_rev_per_s: null, duration_s: coolDown.atMost_s, until_degC: coolDown.to_degC }
    : dwell_s > 0
      ? { speed_rev_per_s: null, duration_s: dwell_s }
      : null;
  return steps.flatMap((step, i) => {
    const settled = settle_s > 0 ? { ...step, duration_s: step.duration_s + settle_s, settle_s } : step;
    return i > 0 && rest ? [rest, settled] : [settled];
  });
}

/** Whether a procedure asks anything of the rig's drive. */
export function isDriven({ steps, movedBy }: Procedure): boolean {
  return movedBy !== 'hand' && steps.some(({ speed_rev_per_s }) => speed_rev_per_s !== null);
}

/** What is left of a procedure whose recording was interrupted: the step it was in, from its beginning, and all after it. */
export function remainingProcedure(record: ProcedureRecord): Procedure {
  const { name, steps, duration_s, movedBy, happened } = record;
  const last_s = happened.at(-1)?.end_s ?? 0;
  return {
    name,
    steps: steps.slice(Math.max(0, happened.length - 1)),
    duration_s: duration_s === null ? null : Math.max(1, duration_s - last_s),
    ...(movedBy && { movedBy }),
  };
}

/** Seconds of device time a procedure takes, null where only its owner knows. */
export function plannedDuration_s({ steps, duration_s, movedBy }: Procedure): number | null {
  if (movedBy === 'hand' && steps.length > 0) return null;
  return steps.length > 0 ? steps.reduce((sum, step) => sum + step.duration_s, 0) : duration_s;
}
