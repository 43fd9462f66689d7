import { directionsOf, type KnownReading } from '../../analysis/calibration/index.js';
import type { Quantity } from '../csv/csv-units.js';
import { type QuantityRule, readNumericCsv } from '../csv/numeric-csv.js';
import { DaqError } from '../daq-error.js';
import type { FileSource } from '../files/read-source.js';

/** A file of known values, with the readings at them where somebody wrote these down. */
export interface KnownValuesFile {
  readonly quantity: 'mass' | 'force' | 'length';
  /** kg, N or m, in the order of the file. */
  readonly values: Float64Array;
  /** Null where the values are only what is to be hung or held. */
  readonly readings_counts: Float64Array | null;
  readonly runs: Float64Array | null;
  readonly temperatures_degC: Float64Array | null;
}

const optional = (quantity: Quantity): QuantityRule => ({
  quantity,
  required: false,
  mayBeEmpty: false,
  increases: false,
});

/**
 * Reads masses, forces or lengths: `mass_g[,reading_counts][,run_number][,temperature_degC]`, other units by name.
 * @param wanted which quantities the file may hold; exactly one of them
 * @throws DaqError 'file-…', 'csv-…'
 */
export async function readKnownValuesCsv(
  source: string | FileSource,
  wanted: readonly KnownValuesFile['quantity'][],
): Promise<KnownValuesFile> {
  const { header, values } = await readNumericCsv(source, [
    ...wanted.map(optional),
    optional('reading'),
    optional('run'),
    optional('temperature'),
  ]);
  const there = wanted.filter((quantity) => values[quantity]);
  if (there.length !== 1)
    throw new DaqError('csv-header', {
      where: header.file,
      line: 1,
      found: there.length === 0 ? 'no column of known values' : `columns of ${there.join(' and ')}`,
      wanted: `one of ${wanted.map((quantity) => NAMES[quantity]).join(', ')}, and reading_counts where readings were taken`,
    });
  const [quantity] = there;
  return {
    quantity: quantity!,
    values: values[quantity!]!,
    readings_counts: values.reading ?? null,
    runs: values.run ?? null,
    temperatures_degC: values.temperature ?? null,
  };
}

const NAMES = { mass: 'mass_g', force: 'force_N', length: 'length_mm' } as const;

/** Positions of the slide at counts of a sensor on the crank: `length_mm,reading_counts`. */
export async function readCrankCsv(
  source: string | FileSource,
): Promise<{ counts: Float64Array; position_m: Float64Array }> {
  const { values } = await readNumericCsv(source, [
    { ...optional('length'), required: true },
    { ...optional('reading'), required: true },
  ]);
  return { counts: values.reading!, position_m: values.length! };
}

/**
 * Readings of a file as a calibration takes them.
 * @param quantityOf the N or m that a value stands for
 * @returns runs by their numbers, or cut where the values come back to 0; a 0 in the middle ends one run and begins
 *   the next
 */
export function knownReadings(
  { values, readings_counts, runs, temperatures_degC }: KnownValuesFile,
  quantityOf: (value: number) => number,
): KnownReading[] {
  const rows = [...values].map((value, i) => ({
    value,
    reading_counts: readings_counts![i]!,
    temperature_degC: temperatures_degC ? temperatures_degC[i]! : null,
    run: runs ? runs[i]! : null,
  }));
  const groups: (typeof rows)[] = [];
  for (const [i, row] of rows.entries()) {
    const before = rows[i - 1];
    if (!before || (runs ? row.run !== before.run : row.value === 0 && before.value === 0)) groups.push([]);
    groups.at(-1)!.push(row);
    const goesOn = !runs && row.value === 0 && before && before.value !== 0 && rows[i + 1]?.value;
    if (goesOn) groups.push([row]);
  }
  return groups.flatMap((group, g) => {
    const directions = directionsOf(group.map(({ value }) => value));
    return group.map(({ value, reading_counts, temperature_degC }, i) => ({
      series: g + 1,
      value: quantityOf(value),
      direction: directions[i]!,
      reading_counts,
      temperature_degC,
    }));
  });
}
