import type { DriveHolder } from '../link/drive-control.js';
import type { RigLink } from '../link/rig-link.js';
import { HAND_BAND, type HappenedStep, isDriven, type Procedure, type SpeedStep } from '../procedures.js';
import type { Capture } from './capture.js';

/** A step that is still going on. */
export type OpenStep = { -readonly [Key in keyof HappenedStep]: HappenedStep[Key] };

/** What is being asked at the moment. */
export interface StepNow {
  /** From 0. */
  readonly index: number;
  readonly count: number;
  readonly step: SpeedStep;
  /** Turns within the band so far, by hand. */
  turns(): number;
}

export interface RunStepsOptions {
  readonly link: RigLink;
  readonly procedure: Procedure;
  readonly captured: Capture;
  readonly isDriveHeld: DriveHolder;
  /** True once a person has asked for the next step; by hand only. */
  readonly isSkipped: () => boolean;
  /** Starts no further step once it is aborted. */
  readonly over: AbortSignal;
  /** Gets each step when it begins; the rest of it when it has ended. */
  readonly happened: OpenStep[];
  /** Told before anything moves for a step. */
  readonly onStep: (now: StepNow | null) => void;
}

/**
 * Runs a procedure's steps on device time, by the drive or by prompting a person, or waits where it has none; one
 * without an end waits for ever.
 * @returns false, for not stopped
 */
export async function runSteps(options: RunStepsOptions): Promise<false> {
  const { link, procedure, captured, happened, over } = options;
  const { steps, duration_s } = procedure;
  if (steps.length === 0) {
    happened.push({ speed_rev_per_s: null, start_s: captured.elapsed_s(), end_s: captured.elapsed_s() });
    options.onStep(null);
    await captured.until(() => captured.elapsed_s() >= (duration_s ?? Infinity));
    return false;
  }
  const isByDrive = isDriven(procedure);
  // Each step ends on a plan made from the one before, so that late samples do not add up.
  let from_s = 0;
  for (const [index, step] of steps.entries()) {
    if (over.aborted) break;
    const turned = turnsInBand(step, captured);
    options.onStep({ index, count: steps.length, step, turns: turned });
    if (isByDrive && step.speed_rev_per_s !== null)
      await link.setDriveSpeed(step.speed_rev_per_s, options.isDriveHeld);
    else if (link.isDriving()) await link.haltDrive();
    if (over.aborted) break;
    const start_s = captured.elapsed_s();
    const open: OpenStep = { speed_rev_per_s: step.speed_rev_per_s, start_s, end_s: start_s };
    happened.push(open);
    const measure = measured(step, captured, open);
    const end_s = from_s + step.duration_s;
    await captured.until(() => {
      measure();
      const inBand = turned();
      if (over.aborted) return true;
      if (captured.elapsed_s() >= end_s) return !isBeforeEnd(step, captured, end_s);
      if (isByDrive) return isCool(step, captured);
      return inBand >= (step.turns ?? Infinity) || options.isSkipped();
    });
    open.end_s = captured.elapsed_s();
    from_s = step.toEnd ? open.end_s : Math.min(open.end_s, end_s);
  }
  return false;
}

/** Whether the drive has to go on to the end of the stroke; where none is seen in a good half turn, it stops all the same. */
function isBeforeEnd({ toEnd, speed_rev_per_s }: SpeedStep, captured: Capture, end_s: number): boolean {
  if (!toEnd || speed_rev_per_s === null || captured.isAtEnd()) return false;
  return captured.elapsed_s() < end_s + 0.6 / speed_rev_per_s;
}

function isCool({ until_degC }: SpeedStep, captured: Capture): boolean {
  const temperature_degC = captured.temperature_degC();
  return until_degC !== undefined && temperature_degC !== null && temperature_degC <= until_degC;
}

/**
 * @returns a function that writes into `open` what the crank has really done since the step settled, or since its first
 *   stroke showed how far it goes
 */
function measured({ settle_s = 0 }: SpeedStep, captured: Capture, open: OpenStep): () => void {
  let from: { s: number; turns: number } | null = null;
  return () => {
    const s = captured.elapsed_s();
    if (s < open.start_s + settle_s || captured.speed_rev_per_s() === null) return;
    from ??= { s, turns: captured.turns() };
    open.turns = captured.turns() - from.turns;
    open.measured_rev_per_s = s > from.s ? open.turns / (s - from.s) : null;
  };
}

/** @returns a function that counts the turns made within the wanted band of speeds, up to now */
function turnsInBand({ speed_rev_per_s }: SpeedStep, captured: Capture): () => number {
  let before = captured.turns();
  let inBand = 0;
  return () => {
    const turns = captured.turns();
    const speed = captured.speed_rev_per_s();
    const isInBand =
      speed !== null && speed_rev_per_s !== null && Math.abs(speed / speed_rev_per_s - 1) <= HAND_BAND;
    if (isInBand) inBand += turns - before;
    before = turns;
    return inBand;
  };
}
