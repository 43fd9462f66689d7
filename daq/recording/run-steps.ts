import type { RigLink } from '../link/rig-link.js';
import type { HappenedStep, Procedure } from '../procedures.js';
import type { Capture } from './capture.js';

/** A step that is still going on. */
export type OpenStep = { -readonly [Key in keyof HappenedStep]: HappenedStep[Key] };

/**
 * Runs a procedure's steps on device time, or waits where it has none; one without an end waits for ever.
 * @param happened gets each step when it begins; its end when it has ended
 * @param over starts no further step once it is aborted
 * @returns false, for not stopped
 */
export async function runSteps(
  link: RigLink,
  { steps, duration_s }: Procedure,
  captured: Capture,
  happened: OpenStep[],
  over: AbortSignal,
): Promise<false> {
  const moves = steps.length > 0 ? steps : [{ speed_rev_per_s: null, duration_s: duration_s ?? Infinity }];
  let end_s = 0;
  for (const { speed_rev_per_s, duration_s } of moves) {
    if (over.aborted) break;
    if (speed_rev_per_s !== null) await link.setDriveSpeed(speed_rev_per_s);
    const start_s = captured.elapsed_s();
    end_s += duration_s;
    const step: OpenStep = { speed_rev_per_s, start_s, end_s: start_s };
    happened.push(step);
    await captured.reaches(end_s);
    step.end_s = captured.elapsed_s();
  }
  return false;
}
