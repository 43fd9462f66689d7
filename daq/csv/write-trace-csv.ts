import { createWriteStream } from 'node:fs';
import { unlink } from 'node:fs/promises';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type { TraceInput } from '../../analysis/index.js';
import { unwritable } from '../files/unwritable.js';
import { textTimesTenTo } from './number-text.js';

const ROWS_AT_ONCE = 4096;

/**
 * Writes a recording as the CSV that `readTraceCsv` reads: one column of times for all channels, an empty cell
 * where a channel was not sampled then. Every number reads back as it was.
 * @throws DaqError 'file-exists' (nothing is overwritten), 'file-unwritable'
 */
export async function writeTraceCsv(path: string, trace: TraceInput): Promise<void> {
  let isOurs = false;
  try {
    const file = createWriteStream(path, { flags: 'wx' }).once('open', () => {
      isOurs = true;
    });
    await pipeline(Readable.from(traceCsv(trace)), file);
  } catch (error) {
    if (isOurs) await unlink(path).catch(() => {});
    throw unwritable(path, error);
  }
}

/**
 * The same as text, a few thousand rows at a time.
 * @param digits significant ones of each number, for files that are to be small; all that are needed where left out
 */
export function* traceCsv({ force, position, temperature }: TraceInput, digits?: number): Generator<string> {
  const textOf = (value: number, tenTo: number) =>
    textTimesTenTo(digits === undefined ? value : Number(value.toPrecision(digits)), tenTo);
  const channels = [
    { name: 'displacement_mm', time_s: position.time_s, values: position.position_m, tenTo: 3 },
    { name: 'force_N', time_s: force.time_s, values: force.force_N, tenTo: 0 },
  ];
  if (temperature && temperature.time_s.length > 0)
    channels.push({
      name: 'temperature_degC',
      time_s: temperature.time_s,
      values: temperature.temperature_degC,
      tenTo: 0,
    });
  const next = channels.map(() => 0);
  let text = `${['time_s', ...channels.map(({ name }) => name)].join(',')}\n`;
  for (let row = 1; ; row++) {
    // Instants that print alike share a row: a second row at the same time could not be read back.
    const instants = channels.map(({ time_s }, c) => textOf(time_s[next[c]!] ?? Infinity, 0));
    const time = instants.reduce((first, instant) => (Number(instant) < Number(first) ? instant : first));
    if (time === 'Infinity') break;
    text += time;
    for (const [c, { values, tenTo }] of channels.entries())
      text += instants[c] === time ? `,${textOf(values[next[c]!++]!, tenTo)}` : ',';
    text += '\n';
    if (row % ROWS_AT_ONCE > 0) continue;
    yield text;
    text = '';
  }
  yield text;
}
