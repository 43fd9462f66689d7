import { valueText } from './amounts.js';
import { count, formatChosen, formatNumber, sentenceCase } from './numbers.js';
import { type DisplayUnits, metric } from './units.js';

/** What is done at a rig to look after it, by the names the program gives them. */
export type CareName = 'setup' | 'force' | 'position' | 'angle' | 'lag' | 'mass' | 'check';

export interface CareWords {
  readonly title: string;
  /** What it is for and what it takes. */
  readonly about: string;
  /** Said where nothing of it is known. */
  readonly unknown: string;
}

export const careWords: Readonly<Record<CareName, CareWords>> = {
  setup: {
    title: 'Set-up',
    about:
      'Four readings find which way the counts run and where both zeros are; the load printed on the cell and the travel say where a run must end. Nothing is driven.',
    unknown: 'This rig was never set up: its limits and the way its counts run are not known here.',
  },
  force: {
    title: 'Force',
    about:
      'Hang known masses: nothing, up through all of them, down again, nothing. Five or more, the heaviest near what the shocks give; three runs show how well it repeats.',
    unknown: 'Force is not calibrated: nobody has said here what a count of the cell is.',
  },
  position: {
    title: 'Position',
    about:
      'Hold the slide at known lengths from full extension, in and out again: gauge blocks, drill shanks or a calliper.',
    unknown: 'Position is not calibrated: nobody has said here what a count of the sensor is.',
  },
  angle: {
    title: 'Crank',
    about:
      'For a sensor on the crank instead of the slide: turn it to nine places and measure where the slide stands at each.',
    unknown: 'No sensor on the crank was calibrated here.',
  },
  lag: {
    title: 'Lag',
    about:
      'Mount a dry spring and nothing else: moved at six speeds, its loop tells how late the force comes behind the position.',
    unknown: 'The lag is not known: each recording has to find it, and slow ones cannot.',
  },
  mass: {
    title: 'Moving mass',
    about: 'Take the shock off: a run with nothing mounted weighs what moves between cell and shock.',
    unknown: 'The moving mass was not measured: each recording has to find it.',
  },
  check: {
    title: 'Check standard',
    about:
      'Mount the check standard, a spring with a friction block that is never changed: one slow run of half a minute.',
    unknown:
      'Nothing watches this rig: a check standard, a spring with a friction block measured once a sitting, would show when it changes.',
  },
};

/** Said before anything is done at a rig that moves by itself. */
export const drivenCautions: readonly string[] = [
  'The drive starts by itself. Keep fingers, hair, sleeves and cables away from crank and slide.',
  'Have a hard-wired switch within reach that cuts the power of the drive: this program is not a safety device.',
];

/** The same in a few words, while it moves. */
export const movingCaution =
  'The drive turns: hands off crank and slide, and the switch that cuts its power within reach.';

/** "From one mounting to another drag differs by 3.1 % on this rig (12 degrees of freedom)." Null where nothing is known. */
export function longRunSentence(
  spreads: readonly {
    readonly quantity: string;
    readonly relativeStandardDeviation: number;
    readonly degreesOfFreedom: number;
    readonly builds: number;
    readonly rigShareOnly: boolean;
  }[],
): string | null {
  const drag = spreads.find(({ quantity }) => quantity === 'friction_N');
  if (!drag) return null;
  const { relativeStandardDeviation, degreesOfFreedom, builds, rigShareOnly } = drag;
  const seen = `${count(degreesOfFreedom + builds, 'mounting')} of ${rigShareOnly ? 'the check standard' : count(builds, 'build')}`;
  const share = rigShareOnly ? ' That is the rig’s own share: a shock adds to it.' : '';
  return `From one mounting to another drag differs by ${formatNumber(100 * relativeStandardDeviation, 2)} % on this rig, as ${seen} showed.${share}`;
}

/** "Calibration 3 is in force; version 1 and 2 stay with the recordings made under them." */
export function versionsSentence(versions: readonly number[]): string {
  const [newest, ...older] = versions;
  if (newest === undefined) return 'This rig is not calibrated yet.';
  if (older.length === 0) return `Calibration ${newest} is in force, the only one so far.`;
  return `Calibration ${newest} is in force. ${sentenceCase(count(older.length, 'older one'))} ${older.length === 1 ? 'stays' : 'stay'} with the recordings made under ${older.length === 1 ? 'it' : 'them'}.`;
}

/** "Calibration 1 says that 1000 counts are 45.662 mN; the readings behind it are not kept here." Null where it is silent. */
export function withoutReadingsSentence(
  part: CareName,
  inForce: {
    readonly version: number;
    readonly calibration: {
      readonly force: { readonly newton_per_count: number };
      readonly position: { readonly metre_per_count: number; readonly crank?: unknown };
    };
  },
): string | null {
  const { force, position } = inForce.calibration;
  const scales: Partial<Record<CareName, string>> = {
    force: `${formatNumber(1e6 * force.newton_per_count, 5)} mN`,
    ...(!position.crank && { position: `${formatNumber(1e6 * position.metre_per_count, 5)} mm` }),
  };
  const scale = scales[part];
  return scale === undefined
    ? null
    : `Calibration ${inForce.version} says that 1000 counts are ${scale}; the readings behind it are not kept here.`;
}

/** What another calibration makes of a recording's drag: "Under calibration 3 drag is 1.2 % lower." */
export function underSentence(own: number | null, other: number | null, version: number): string {
  if (own === null || other === null) return 'Its drag cannot be told under both.';
  const percent = 100 * (other / own - 1);
  if (Math.abs(percent) < 0.05) return `Under calibration ${version} its drag is the same within 0.05 %.`;
  return `Under calibration ${version} its drag is ${formatNumber(Math.abs(percent), 2)} % ${percent > 0 ? 'higher' : 'lower'}.`;
}

/** What was entered, and what is still missing. */
export function enteredSentence(
  what: CareName,
  rig: string,
  { version, missing }: { readonly version: number | null; readonly missing: readonly string[] },
): string {
  if (what === 'check') return 'Measured, and in the history.';
  if (what === 'setup') return `Entered as profile ${version} of ${rig}.`;
  return version === null
    ? `Kept for ${rig} until its ${missing.join(' and ')} is calibrated as well.`
    : `Entered as calibration ${version} of ${rig}. Recordings made before keep theirs.`;
}

/** "24 mm of travel; a run ends at 59 N of the cell's 98 N." */
export function profileSentence(
  profile: {
    readonly stroke_m: number;
    readonly forceLimit_N: number;
    readonly cellCapacity_N: number;
    readonly forceSign: number;
    readonly positionSign: number;
  },
  units: DisplayUnits = metric,
): string {
  const force = (value_N: number) => valueText(value_N, 'force', units, 1, formatChosen);
  const reversed = [profile.forceSign < 0 && 'force', profile.positionSign < 0 && 'position'].filter(Boolean);
  const way =
    reversed.length === 0
      ? 'Force and position count the right way round.'
      : `The counts of ${reversed.join(' and ')} run the other way; calibration turns them round.`;
  return `It travels ${valueText(profile.stroke_m, 'length', units, 1, formatChosen)} and a run ends at ${force(profile.forceLimit_N)} of the cell’s ${force(profile.cellCapacity_N)}. ${way}`;
}
