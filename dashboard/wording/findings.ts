import type { Finding, FindingCode } from '../../analysis/index.js';
import { formatNumber } from './numbers.js';
import { type Dimension, type DisplayUnits, displayScale, metric } from './units.js';

/** Reads a finding's values for a sentence; what is absent or not a number comes back as null. */
interface Values {
  /** The amount with its unit; the key's number is multiplied by `toSI` first. */
  readonly amount: (key: string, dimension: Dimension, toSI?: number) => string | null;
  readonly whole: (key: string) => string | null;
  readonly percent: (key: string) => string | null;
  readonly word: (key: string) => string | null;
}

function valuesOf(finding: Finding, units: DisplayUnits): Values {
  const number = (key: string): number | null => {
    const value = finding.values[key];
    return typeof value === 'number' && Number.isFinite(value) ? value : null;
  };
  return {
    amount: (key, dimension, toSI = 1) => {
      const value = number(key);
      if (value === null) return null;
      const { unit, factor } = displayScale(dimension, units);
      return `${formatNumber(value * toSI * factor, 3)} ${unit}`.trim();
    },
    whole: (key) => {
      const value = number(key);
      return value === null ? null : String(Math.round(value));
    },
    percent: (key) => {
      const value = number(key);
      return value === null ? null : `${formatNumber(value, 2)} %`;
    },
    word: (key) => {
      const value = finding.values[key];
      return typeof value === 'string' && value.trim() !== '' ? value : null;
    },
  };
}

/** `text` with the value put in, or `otherwise` where the finding does not carry it. */
function when(value: string | null, text: (value: string) => string, otherwise = ''): string {
  return value === null ? otherwise : text(value);
}

/** Every sentence says what to do first and why after. */
const sentences: Readonly<Record<FindingCode, (values: Values) => string>> = {
  'air-in-oil': (v) =>
    `Bleed the shock and measure again: damping builds up only ${when(
      v.amount('deadStroke_mm', 'length', 1e-3),
      (travel) => `${travel} after`,
      'some way after',
    )} each reversal, which is how air in the oil shows.`,
  'compression-ceiling': (v) =>
    `Read compression damping only below ${when(
      v.amount('force_N', 'force'),
      (force) => force,
      'the force where it stops rising',
    )}: above that the oil behind the piston can no longer be pulled along (cavitation).`,
  'end-contact': (v) =>
    `Shorten the stroke or move a mount: the shock meets ${when(
      v.word('kind'),
      (kind) => `a ${kind} stop`,
      'its stop',
    )}${when(v.word('side'), (side) => (side === 'extension' ? ' on the way out' : ' on the way in'))}${when(
      v.amount('position_mm', 'length', 1e-3),
      (position) => ` at ${position}`,
    )}, and force there is not damping.`,
  'stick-slip': (v) =>
    `Clean and oil the shaft and seal, then measure again: at low speed the shaft sticks and jumps${when(
      v.amount('drop_N', 'force'),
      (drop) => `, ${drop} at a time`,
    )}, so drag there is only an average.`,
  binding: (v) =>
    `Check the shaft for a bend and the mounts for side load${when(
      v.amount('position_mm', 'length', 1e-3),
      (position) => ` near ${position}`,
    )}: drag rises there${when(
      v.amount('force_N', 'force'),
      (force) => ` by ${force}`,
    )} in both directions, which is something rubbing and not the oil.`,
  'play-in-mounts': (v) =>
    `Tighten the mounts and measure again: where the force changes sign, nothing is felt${when(
      v.amount('play_mm', 'length', 1e-3),
      (play) => ` for about ${play}`,
      ' for a short way',
    )}, which is a loose eye. It looks like air in the oil, so bleed only after this.`,
  'force-saturated': (v) =>
    `Choose slower strokes or a larger range of the force converter: ${when(
      v.whole('samples'),
      (samples) => (samples === '1' ? '1 sample lies' : `${samples} samples lie`),
      'some samples lie',
    )} at its limit${when(v.percent('share_percent'), (share) => ` (${share})`)}, where force may have been larger still, and ${
      v.whole('samples') === '1' ? 'was' : 'were'
    } left out.`,
  'samples-missing': (v) =>
    `Check the cable and the sample rate, and measure again if this is more than a few: ${when(
      v.whole('samples'),
      (samples) => (samples === '1' ? '1 sample was' : `${samples} samples were`),
      'some samples were',
    )} lost or too far off to be real${when(v.percent('percent'), (share) => ` (${share})`)}, and the results use only the others.`,
  'unchecked-lines': () =>
    'Take a surprising result with care: the rig sent plain lines without a checksum, so a damaged number passes for a right one, and lost lines are not counted.',
  'too-few-cycles': (v) =>
    `Record longer, ${when(v.whole('wanted'), (wanted) => `at least ${wanted} full cycles`, 'several full cycles at each speed')}: ${when(
      v.whole('cycles'),
      (cycles) => (cycles === '1' ? 'with 1 cycle' : `with ${cycles} cycles`),
      'with so few cycles',
    )} the spread from one to the next is hardly known, so the intervals are wide.`,
  'too-slow-sampling': (v) =>
    `Sample faster or stroke slower: ${when(
      v.amount('samplesPerCycle', 'none'),
      (samples) => `with ${samples} samples in the fastest cycle`,
      'with so few samples in a cycle',
    )} the ends of the stroke are not seen.`,
  'crank-locked-to-sampling': () =>
    'Change the drive speed a little: the crank turns in step with the sampling, so the same few points of the stroke are measured over and over.',
  'lag-unresolved': (v) =>
    `Do a lag check with a spring in place of the shock: force that arrives late looks like moving mass in this recording, so the lag is ${when(
      v.amount('halfWidth_ms', 'time', 1e-3),
      (lag) => `known only to ± ${lag}`,
      'not known',
    )} and the mass is uncertain with it.`,
  'kernel-chosen': (v) =>
    `Let the firmware declare the converter's filter if you know it: the rig does not say, and ${when(
      v.word('kernel'),
      (kernel) => kernelWords[kernel] ?? kernel,
      'the one that fits best',
    )} was chosen because the force fits best with it.`,
  'loop-energy-mismatch': (v) =>
    `Look for something loose, rubbing or touching before trusting these numbers:${when(
      v.amount('speed_mm_per_s', 'velocity', 1e-3),
      (speed) => ` while the shaft moved at about ${speed}`,
    )} the energy that the shock took up and that of the fitted curve differ${when(
      v.percent('percent'),
      (percent) => ` by ${percent}`,
    )}, so something is at work besides drag and damping.`,
  'sign-reversed': (v) =>
    v.word('channel') === 'force and position'
      ? 'Turn the signs of both force and position in the calibration or the file: as they stand the trapped gas would pull the shaft in instead of pushing it out. Nothing was changed.'
      : `Turn the sign of ${v.word('channel') ?? 'force or position'} in the calibration or the file: as it stands the shock would give energy away. Nothing was changed.`,
  warming: (v) =>
    `Warm the shock up before measuring: the oil warmed${when(
      v.amount('rise_K', 'none'),
      (rise) => ` by ${rise} K`,
    )} during the recording${when(
      v.percent('thinner_percent'),
      (share) => ` and damped ${share} less at the end`,
    )}; warm oil damps less (silicone about 2 % per K).`,
};

const kernelWords: Readonly<Record<string, string>> = {
  none: 'no filter',
  'one-conversion': 'an average over one conversion',
  sinc3: 'a sinc³ filter',
  sinc4: 'a sinc⁴ filter',
};

/**
 * A finding as a sentence a hobbyist understands.
 * @param finding code and values; values that are absent are spoken around
 * @param units display units
 */
export function findingSentence(finding: Finding, units: DisplayUnits = metric): string {
  return sentences[finding.code](valuesOf(finding, units));
}

/** All codes that have a sentence, in the order they are documented. */
export const findingCodes = Object.keys(sentences) as FindingCode[];
