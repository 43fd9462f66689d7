import { csvForm } from '../csv/csv-form.js';
import { numericTable, type WantedColumn } from '../csv/numeric-table.js';
import { parsePlain } from '../csv/parse-plain.js';
import { DaqError } from '../daq-error.js';
import type { FileSource } from '../files/read-source.js';
import type { SampleUnit, StoredChannel } from '../logbook/entities.js';

const ROWS_AT_ONCE = 4096;

/**
 * A stored channel as CSV, number for number: `device_time_us,force_counts`, or `time_s,force_N` where it was
 * imported. The shortest digits that read back as the same float64 (ECMA-262, Number::toString).
 */
export function* channelCsv(channel: StoredChannel): Generator<string> {
  const raw = 'counts' in channel;
  const times = raw ? channel.deviceTimes_us : channel.times_s;
  const values = raw ? channel.counts : channel.values;
  let text = `${columnsOf(channel).join(',')}\n`;
  for (const [i, time] of times.entries()) {
    text += `${exact(time)},${exact(values[i]!)}\n`;
    if (i % ROWS_AT_ONCE > 0) continue;
    yield text;
    text = '';
  }
  yield text;
}

/** @throws DaqError 'csv-…' or 'bundle-invalid' where the file does not hold what the description says */
export function readChannelCsv(
  source: FileSource,
  described: { kind: StoredChannel['kind']; unit: SampleUnit; samples: number },
): StoredChannel {
  const names = columnsOf(described);
  const form = csvForm(source);
  if (form.names.join(',') !== names.join(','))
    throw new DaqError('csv-header', {
      where: source.name,
      line: 1,
      found: `columns ${form.names.join(',')}`,
      wanted: names.join(','),
    });
  const wanted = names.map(
    (name, cell): WantedColumn => ({ cell, name, conversion: {}, mayBeEmpty: false, increases: false }),
  );
  const table = numericTable(source.name, wanted, 2);
  parsePlain(source.bytes, form.bodyStart, form.delimiter, table);
  const [times, values] = table.finish() as [Float64Array, Float64Array];
  if (times.length !== described.samples)
    throw new DaqError('bundle-invalid', {
      where: source.name,
      found: `${times.length} samples`,
      wanted: `${described.samples}, as recording.json says`,
    });
  const { kind, unit } = described;
  if (unit !== 'counts' && unit !== 'mdegC') return { kind, unit, times_s: times, values };
  const counts = Int32Array.from(values);
  const notWhole = values.findIndex((value, i) => value !== counts[i]);
  if (notWhole >= 0)
    throw new DaqError('csv-cell', {
      where: source.name,
      line: notWhole + 2,
      column: names[1]!,
      found: `${values[notWhole]}`,
      wanted: 'a whole number of 32 bits',
    });
  return { kind, unit, deviceTimes_us: times, counts };
}

function columnsOf({ kind, unit }: { kind: StoredChannel['kind']; unit: SampleUnit }): [string, string] {
  return [unit === 'counts' || unit === 'mdegC' ? 'device_time_us' : 'time_s', `${kind}_${unit}`];
}

function exact(value: number): string {
  return Object.is(value, -0) ? '-0' : String(value);
}
