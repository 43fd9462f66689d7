import type { ChannelKind } from '../../firmware-protocol/index.js';
import { DaqError } from '../daq-error.js';

/** What the cells of a plain line are, in their order. */
export interface PlainForm {
  readonly cells: readonly PlainCell[];
}

type PlainCell =
  | { readonly is: 'time'; readonly us_per_unit: number }
  | { readonly is: 'sample'; readonly kind: ChannelKind; readonly decimals: number }
  | { readonly is: 'nothing' };

export interface PlainLine {
  /** As a device's 32-bit microseconds. */
  readonly deviceTime_us: number;
  readonly samples: readonly { readonly kind: ChannelKind; readonly counts: number }[];
}

const TIME_UNITS: Readonly<Record<string, number>> = { time_us: 1, time_ms: 1000 };
const KINDS: readonly string[] = ['force', 'position', 'temperature'];
const MOST_DECIMALS = 6;
const MOST_COUNTS = 2 ** 31 - 1;

/**
 * Reads what a person says of a rig's plain lines: `time_us,force,position`, with `time_ms`, `temperature`, `-` for a
 * cell that is nothing, and `force:2` for numbers with two decimals, of which a hundredth is then one count.
 * @throws DaqError 'plain-form'
 */
export function parsePlainForm(text: string): PlainForm {
  const refuse = (found: string): never => {
    throw new DaqError('plain-form', {
      where: '--plain',
      found,
      wanted: 'cells as they come, such as time_us,force,position (also time_ms, temperature, - and force:2)',
    });
  };
  const cells = text.split(',').map((cell): PlainCell => {
    const [, word = '', decimals = '0'] = /^\s*([a-z_]+|-)(?::(\d))?\s*$/.exec(cell) ?? [];
    if (word === '-') return { is: 'nothing' };
    const us_per_unit = TIME_UNITS[word];
    if (us_per_unit !== undefined) return { is: 'time', us_per_unit };
    if (!KINDS.includes(word) || Number(decimals) > MOST_DECIMALS) return refuse(`'${cell.trim()}'`);
    return { is: 'sample', kind: word as ChannelKind, decimals: Number(decimals) };
  });
  const count = (name: string) =>
    cells.filter((cell) => (cell.is === 'sample' ? cell.kind : cell.is) === name).length;
  for (const name of ['time', 'force', 'position', 'temperature']) {
    const [least, most] = name === 'temperature' ? [0, 1] : [1, 1];
    if (count(name) < least || count(name) > most) refuse(`${count(name)} cells of ${name}`);
  }
  return { cells };
}

/**
 * Reads a line of plain numbers, parted by commas, semicolons, tabs or spaces.
 * @returns null where it is not such a line, whole and in range: that is all a plain line lets one check
 */
export function readPlainLine(text: string, { cells }: PlainForm): PlainLine | null {
  const found = text.trim().split(/\s*[,;\t]\s*|\s+/);
  if (found.length !== cells.length) return null;
  let deviceTime_us = Number.NaN;
  const samples: { kind: ChannelKind; counts: number }[] = [];
  for (const [i, cell] of cells.entries()) {
    if (cell.is === 'nothing') continue;
    const decimals = cell.is === 'sample' ? cell.decimals : 0;
    const counts = wholeNumber(found[i]!, decimals);
    if (counts === null) return null;
    if (cell.is === 'sample') {
      // A temperature is kept in thousandths of a degree, whatever its decimals.
      const scaled = cell.kind === 'temperature' ? Math.round(counts * 10 ** (3 - decimals)) : counts;
      if (Math.abs(scaled) > MOST_COUNTS) return null;
      samples.push({ kind: cell.kind, counts: scaled });
    } else {
      if (counts < 0 || counts >= 2 ** 53 / cell.us_per_unit) return null;
      // Exact across the device's own wrap, since 2³² of any unit is a whole number of 2³² microseconds.
      deviceTime_us = (counts * cell.us_per_unit) % 2 ** 32;
    }
  }
  return { deviceTime_us, samples };
}

/** A decimal number as a whole number of its last place; null where it is none or has more places. */
function wholeNumber(text: string, decimals: number): number | null {
  const [, sign, whole, fraction = ''] = /^([+-]?)(\d{1,15})(?:\.(\d*))?$/.exec(text) ?? [];
  if (whole === undefined) return null;
  const places = fraction.replace(/0+$/, '');
  if (places.length > decimals) return null;
  const magnitude = Number(whole + places.padEnd(decimals, '0'));
  return sign === '-' ? -magnitude : magnitude;
}
