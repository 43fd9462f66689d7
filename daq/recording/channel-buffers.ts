import type { ChannelKind } from '../../firmware-protocol/index.js';
import { channelOf, type RigIdentity } from '../link/rig-identity.js';
import type { RawChannel } from '../logbook/entities.js';

/** Samples waiting to be taken, by channel. */
export interface ChannelBuffers {
  add(kind: ChannelKind, time_us: number, counts: number): void;
  /** Everything added since the last taking, one entry for each channel that had anything. */
  take(): RawChannel[];
}

/** @param identity decides the unit of each channel; counts for one that it does not name */
export function channelBuffers(identity: RigIdentity): ChannelBuffers {
  const channels = new Map<ChannelKind, ReturnType<typeof growingChannel>>();
  return {
    add(kind, time_us, counts) {
      let channel = channels.get(kind);
      if (!channel) {
        channel = growingChannel(kind, channelOf(identity, kind)?.unit ?? 'counts');
        channels.set(kind, channel);
      }
      channel.add(time_us, counts);
    },
    take: () =>
      [...channels.values()].map((channel) => channel.take()).filter(({ counts }) => counts.length > 0),
  };
}

function growingChannel(kind: ChannelKind, unit: RawChannel['unit']) {
  let deviceTimes_us = new Float64Array(256);
  let counts = new Int32Array(256);
  let length = 0;
  return {
    add(time_us: number, count: number): void {
      if (length === counts.length) {
        deviceTimes_us = doubled(deviceTimes_us);
        counts = doubled(counts);
      }
      deviceTimes_us[length] = time_us;
      counts[length++] = count;
    },
    take(): RawChannel {
      const end = length;
      length = 0;
      return { kind, unit, deviceTimes_us: deviceTimes_us.slice(0, end), counts: counts.slice(0, end) };
    },
  };
}

function doubled<T extends Float64Array | Int32Array>(full: T): T {
  const next = new (full.constructor as new (length: number) => T)(2 * full.length);
  next.set(full);
  return next;
}
