import type { Procedure, RigIdentity, StepRests, TurningStep } from '../../daq/index.js';
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
  readonly ladder?: readonly LadderStep[];
  readonly procedure?: Procedure['name'];
  readonly byHand?: boolean;
  readonly settle?: number;
  readonly dwell?: number;
  readonly coolDown?: { readonly to_degC: number; readonly atMost_s: number };
}

/** A speed with the seconds or the whole turns it is asked for. */
export interface LadderStep extends TurningStep {
  readonly turns?: number;
}

/** Reads `--ladder 0.3:6,1:4,3x8`: crank speed in rev/s, and seconds or whole turns of each step. */
export function parseLadder(text: string): LadderStep[] {
  return text.split(',').map((step) => {
    const [, speed, by, length] = /^(\d+(?:\.\d+)?)([:x])(\d+(?:\.\d+)?)$/.exec(step.trim()) ?? [];
    const speed_rev_per_s = Number(speed);
    if (!(speed_rev_per_s > 0 && Number(length) > 0))
      throw badInput(
        `--ladder step '${step}'`,
        'rev/s:seconds or rev/s x turns of each, such as 0.3:6,1:4,3x8',
      );
    return by === 'x'
      ? { speed_rev_per_s, duration_s: Number(length) / speed_rev_per_s, turns: Number(length) }
      : { speed_rev_per_s, duration_s: Number(length) };
  });
}

/** Reads `--cool-down 35:120`: °C to cool down to, and seconds at most. */
export function parseCoolDown(text: string): NonNullable<StepRests['coolDown']> {
  const [, to, most] = /^(\d+(?:\.\d+)?):(\d+(?:\.\d+)?)$/.exec(text.trim()) ?? [];
  if (!(Number(most) > 0)) throw badInput(`--cool-down ${text}`, '°C:seconds at most, such as 35:120');
  return { to_degC: Number(to), atMost_s: Number(most) };
}

type Rig = Pick<RigIdentity, 'drive' | 'rigName' | 'channels'>;

/**
 * What to do with this rig.
 * @param daq the room, loaded already
 * @returns steps for the drive or for a person, or a capture of whatever moves the shock
 * @throws CommandFailure for a ladder that this rig cannot run
 */
export function procedureFor(
  rig: Rig,
  options: ProcedureOptions,
  daq: Pick<
    typeof import('../../daq/index.js'),
    'byHand' | 'defaultHandLadder' | 'defaultSlowSweep' | 'defaultSpeedLadder' | 'withRests'
  >,
): Procedure {
  const { drive, rigName } = rig;
  const { seconds, ladder } = options;
  const isLadder = options.procedure === undefined || options.procedure === 'speed-ladder';
  if (options.byHand) return handLadder(options, isLadder, daq);
  refuseWithoutDrive(rig, options, isLadder);
  if (drive && options.drive && options.procedure === 'slow-sweep' && seconds === undefined)
    return daq.defaultSlowSweep;
  if (!drive || !options.drive || !isLadder)
    return { name: options.procedure ?? 'unknown', steps: [], duration_s: seconds ?? null };

  const steps: readonly LadderStep[] = ladder ?? daq.defaultSpeedLadder.steps;
  const total_s = steps.reduce((sum, step) => sum + step.duration_s, 0);
  const stretch = seconds === undefined ? 1 : seconds / total_s;
  const [slowest, fastest] = [drive.speedMin_mHz / 1000, drive.speedMax_mHz / 1000];
  const outside = steps.find(({ speed_rev_per_s: speed }) => speed < slowest || speed > fastest);
  if (outside)
    throw badInput(
      `a step at ${outside.speed_rev_per_s} rev/s`,
      `${slowest} to ${fastest} rev/s, which the drive of rig '${rigName}' can do`,
    );
  const stretched = steps.map((step) => ({ ...step, duration_s: step.duration_s * stretch }));
  const { settle: settle_s = 0, dwell: dwell_s = 0, coolDown } = options;
  return {
    name: 'speed-ladder',
    steps: daq.withRests(stretched, { settle_s, dwell_s, ...(coolDown && { coolDown }) }),
    duration_s: null,
  };
}

function refuseWithoutDrive(
  { drive, rigName, channels }: Rig,
  options: ProcedureOptions,
  isLadder: boolean,
): void {
  const { ladder, settle, dwell, coolDown } = options;
  const [name] =
    Object.entries({ ladder, settle, dwell, 'cool-down': coolDown }).find(([, value]) => value) ?? [];
  if (name && (!drive || !options.drive || !isLadder))
    throw badInput(
      drive
        ? `--${name} for a recording without the drive`
        : `--${name} for rig '${rigName}', which has no drive`,
      'a drive for its speeds',
    );
  if (coolDown && !channels.some(({ kind }) => kind === 'temperature'))
    throw badInput(
      `--cool-down for rig '${rigName}', which has no temperature sensor`,
      '--dwell with the seconds to wait instead',
    );
}

function handLadder(
  { ladder, settle, dwell, coolDown, seconds }: ProcedureOptions,
  isLadder: boolean,
  {
    byHand,
    defaultHandLadder,
  }: { byHand: typeof import('../../daq/index.js').byHand; defaultHandLadder: Procedure },
): Procedure {
  if (!isLadder || settle || dwell || coolDown || seconds)
    throw badInput(
      '--by-hand with what only a drive or a plain capture can do',
      '--by-hand alone, or with --ladder and its speeds and turns',
    );
  if (!ladder) return defaultHandLadder;
  return {
    ...defaultHandLadder,
    steps: ladder.flatMap(
      ({ speed_rev_per_s, duration_s, turns }) =>
        byHand([speed_rev_per_s], turns ?? Math.max(1, Math.round(duration_s * speed_rev_per_s))).steps,
    ),
  };
}
