import type { Procedure, RigIdentity, TurningStep } from '../../daq/index.js';
import { badInput } from './failure.js';

export const procedureNames: readonly Procedure['name'][] = [
  'speed-ladder',
  'slow-sweep',
  'travel-sweep',
  'spring-pull',
  'lag-check',
  'warm-up',
  'unknown',
];

export interface ProcedureOptions {
  readonly drive: boolean;
  readonly seconds?: number;
  readonly ladder?: readonly TurningStep[];
  readonly procedure?: Procedure['name'];
}

/** Reads `--ladder 0.3:6,1:4,3:2`: crank speed in rev/s and seconds of each step. */
export function parseLadder(text: string): TurningStep[] {
  return text.split(',').map((step) => {
    const [, speed, duration] = /^(\d+(?:\.\d+)?):(\d+(?:\.\d+)?)$/.exec(step.trim()) ?? [];
    const parsed = { speed_rev_per_s: Number(speed), duration_s: Number(duration) };
    if (!(parsed.speed_rev_per_s > 0 && parsed.duration_s > 0))
      throw badInput(`--ladder step '${step}'`, 'rev/s:seconds of each step, such as 0.3:6,1:4,3:2');
    return parsed;
  });
}

/**
 * What to do with this rig.
 * @param usual the ladder that is run when nothing else is asked; `seconds` shortens or stretches it
 * @returns steps for the drive, or a capture of whatever moves the shock
 * @throws CommandFailure for a ladder that this rig cannot run
 */
export function procedureFor(
  { drive, rigName }: RigIdentity,
  options: ProcedureOptions,
  usual: Procedure & { readonly steps: readonly TurningStep[] },
): Procedure {
  const { seconds, ladder } = options;
  const isLadder = options.procedure === undefined || options.procedure === 'speed-ladder';
  if (ladder && (!drive || !options.drive || !isLadder))
    throw badInput(
      drive
        ? '--ladder for a recording without the drive'
        : `--ladder for rig '${rigName}', which has no drive`,
      'a drive for its speeds',
    );
  if (!drive || !options.drive || !isLadder)
    return { name: options.procedure ?? 'unknown', steps: [], duration_s: seconds ?? null };

  const steps = ladder ?? usual.steps;
  const total_s = steps.reduce((sum, step) => sum + step.duration_s, 0);
  const stretch = seconds === undefined ? 1 : seconds / total_s;
  const [slowest, fastest] = [drive.speedMin_mHz / 1000, drive.speedMax_mHz / 1000];
  const outside = steps.find(({ speed_rev_per_s: speed }) => speed < slowest || speed > fastest);
  if (outside)
    throw badInput(
      `a step at ${outside.speed_rev_per_s} rev/s`,
      `${slowest} to ${fastest} rev/s, which the drive of rig '${rigName}' can do`,
    );
  return {
    name: 'speed-ladder',
    steps: steps.map((step) => ({ ...step, duration_s: step.duration_s * stretch })),
    duration_s: null,
  };
}
