import { endianness } from 'node:os';
import { crc32 } from 'node:zlib';
import { CHANNEL_KINDS, type ChannelKind } from '../../firmware-protocol/index.js';
import { DaqError } from '../daq-error.js';
import type { RecordingId, SampleUnit, StoredChannel } from './entities.js';
import { type Connection, inOneGo, isDamage } from './open-database.js';

interface BlockRow {
  block_index: number;
  kind: ChannelKind;
  unit: SampleUnit;
  device_times_us: Buffer | null;
  times_s: Buffer | null;
  values_in_unit: Buffer;
  crc32: number | null;
}

/** The part of the logbook that holds samples, as they came, in blocks that are durable once `appendBlocks` returns. */
export function blocks(connection: Connection) {
  const insert = connection.prepare<Record<string, unknown>>(
    `INSERT INTO block (recording_id, kind, block_index, unit, device_times_us, times_s, values_in_unit, crc32)
     VALUES (@id, @kind, (SELECT 1 + coalesce(max(block_index), -1) FROM block
       WHERE recording_id = @id AND kind = @kind), @unit, @device_times_us, @times_s, @values, @crc32)`,
  );
  const select = connection.prepare<[number], BlockRow>(
    `SELECT block_index, kind, unit, device_times_us, times_s, values_in_unit, crc32 FROM block
     WHERE recording_id = ? ORDER BY kind, block_index`,
  );

  function rowsOf(id: RecordingId): BlockRow[] {
    try {
      const rows = select.all(id);
      const wrong = rows.find(
        (row) =>
          row.crc32 !== null &&
          row.crc32 !== checksumOf(row.device_times_us ?? row.times_s!, row.values_in_unit),
      );
      if (!wrong) return rows;
      throw damaged(
        connection.name,
        id,
        `a ${wrong.kind} block (${wrong.block_index}) with a wrong checksum`,
      );
    } catch (error) {
      if (!isDamage(error)) throw error;
      throw damaged(connection.name, id, 'pages that cannot be read');
    }
  }

  return {
    /** Appends one block for each channel given, all of them or none. Empty channels leave no block. */
    appendBlocks(id: RecordingId, channels: readonly StoredChannel[]): void {
      inOneGo(connection, () => {
        for (const channel of channels) {
          if (lengthOf(channel) === 0) continue;
          const row = rowOf(channel);
          insert.run({ id, ...row, crc32: checksumOf(row.device_times_us ?? row.times_s!, row.values) });
        }
      });
    },
    /**
     * Every channel of a recording exactly as stored; at most one entry a kind, force first.
     * @throws DaqError 'logbook-damaged' where bytes are not what was written
     */
    readChannels(id: RecordingId): StoredChannel[] {
      const rows = rowsOf(id);
      return CHANNEL_KINDS.map((kind) => rows.filter((row) => row.kind === kind))
        .filter((ofKind) => ofKind.length > 0)
        .map(channelOf);
    },
  };
}

/** CRC-32 as of gzip (RFC 1952, section 8). */
function checksumOf(times: Uint8Array, values: Uint8Array): number {
  return crc32(values, crc32(times));
}

function damaged(where: string, id: RecordingId, found: string): DaqError {
  return new DaqError('logbook-damaged', {
    where: `${where}, recording ${id}`,
    found,
    wanted: 'samples as they were written; restore a backup, the other recordings can be exported',
  });
}

function lengthOf(channel: StoredChannel): number {
  return 'counts' in channel ? channel.counts.length : channel.values.length;
}

function rowOf(channel: StoredChannel) {
  const { kind, unit } = channel;
  return 'counts' in channel
    ? {
        kind,
        unit,
        device_times_us: bytesOf(channel.deviceTimes_us),
        times_s: null,
        values: bytesOf(channel.counts),
      }
    : {
        kind,
        unit,
        device_times_us: null,
        times_s: bytesOf(channel.times_s),
        values: bytesOf(channel.values),
      };
}

function channelOf(rows: BlockRow[]): StoredChannel {
  const { kind, unit } = rows[0]!;
  const values = rows.map((row) => row.values_in_unit);
  if (unit === 'counts' || unit === 'mdegC') {
    const deviceTimes_us = new Float64Array(joined(rows.map((row) => row.device_times_us!)));
    return { kind, unit, deviceTimes_us, counts: new Int32Array(joined(values)) };
  }
  const times_s = new Float64Array(joined(rows.map((row) => row.times_s!)));
  return { kind, unit, times_s, values: new Float64Array(joined(values)) };
}

/** The parts as one buffer of their own, so that it starts where any typed array may start. */
function joined(parts: Buffer[]): ArrayBuffer {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let end = 0;
  for (const part of parts) {
    whole.set(part, end);
    end += part.length;
  }
  return whole.buffer;
}

function bytesOf(array: Float64Array | Int32Array): Buffer {
  return Buffer.from(array.buffer, array.byteOffset, array.byteLength);
}

// Blocks are little-endian, as every machine that Node 20 has binaries for, save one; there it must say so.
if (endianness() !== 'LE') throw new Error('this program stores samples little-endian; this machine is not');
