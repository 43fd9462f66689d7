import type { TraceInput } from '../../analysis/index.js';
import type { FileSource } from '../files/read-source.js';
import type { Quantity } from './csv-units.js';
import { type CsvHeader, type QuantityRule, readNumericCsv } from './numeric-csv.js';

export const TRACE_RULES: readonly QuantityRule[] = [
  { quantity: 'time', required: true, mayBeEmpty: false, increases: true },
  { quantity: 'position', required: true, mayBeEmpty: true, increases: false },
  { quantity: 'force', required: true, mayBeEmpty: true, increases: false },
  { quantity: 'temperature', required: false, mayBeEmpty: true, increases: false },
];

/**
 * Reads a recording from a CSV file: `time_s,displacement_mm,force_N` and optionally `temperature_degC`, in any
 * order and in other units by name. An empty cell means that its channel was not sampled then.
 * @param source a path, or bytes with a name for messages
 * @returns each channel on its own times, in s, m, N, °C; channels without an empty cell share one array of times
 * @throws DaqError 'file-…', 'csv-…', naming file, line, column, found and wanted
 */
export async function readTraceCsv(
  source: string | FileSource,
): Promise<{ trace: TraceInput; header: CsvHeader }> {
  const { header, values } = await readNumericCsv(source, TRACE_RULES);
  return { header, trace: traceOf(values) };
}

/** Columns of one file as channels, each with the times at which it was sampled. */
export function traceOf(values: Readonly<Partial<Record<Quantity, Float64Array>>>): TraceInput {
  const time_s = values.time!;
  const force = sampled(time_s, values.force!);
  const position = sampled(time_s, values.position!);
  const temperature = values.temperature && sampled(time_s, values.temperature);
  return {
    force: { time_s: force.time_s, force_N: force.values },
    position: { time_s: position.time_s, position_m: position.values },
    ...(temperature && {
      temperature: { time_s: temperature.time_s, temperature_degC: temperature.values },
    }),
  };
}

function sampled(time_s: Float64Array, column: Float64Array) {
  let count = 0;
  for (let row = 0; row < column.length; row++) if (!Number.isNaN(column[row]!)) count++;
  if (count === column.length) return { time_s, values: column };
  const times = new Float64Array(count);
  const values = new Float64Array(count);
  for (let row = 0, i = 0; row < column.length; row++) {
    if (Number.isNaN(column[row]!)) continue;
    times[i] = time_s[row]!;
    values[i++] = column[row]!;
  }
  return { time_s: times, values };
}
