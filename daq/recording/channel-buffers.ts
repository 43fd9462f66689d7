import type { ChannelKind } from '../../firmware-protocol/index.js';
import { channelOf, type RigIdentity } from '../link/rig-identity.js';
import type { RawChannel } from '../logbook/entities.js';

/** Samples waiting to be taken, by channel. */
export interface ChannelBuffers {
  add(kind: ChannelKind, time_us: number, counts: number): void;
  /** Everything added since the last clearing, one entry for each channel that had anything. */
  peek(): RawChannel[];
  clear(): void;
  /** Both at once. */
  take(): RawChannel[];
}

/** @param identity decides the unit of each channel; counts for one that it does not name */
export function channelBuffers(identity: RigIdentity): ChannelBuffers {
  const channels = new Map<ChannelKind, ReturnType<typeof growingChannel>>();
  const peek = () =>
    [...channels.values()].map((channel) => channel.peek()).filter(({ counts }) => counts.length > 0);
  const clear = () => {
    for (const channel of channels.values()) channel.clear();
  };
  return {
    add(kind, time_us, counts) {
      let channel = channels.get(kind);
      if (!channel) {
        channel = growingChannel(kind, channelOf(identity, kind)?.unit ?? 'counts');
        channels.set(kind, channel);
      }
      channel.add(time_us, counts);
    },
    peek,
    clear,
    take() {
      const taken = peek();
      clear();
      return taken;
    },
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
    peek(): RawChannel {
      return { kind, unit, deviceTimes_us: deviceTimes_us.slice(0, length), counts: counts.slice(0, length) };
    },
    clear(): void {
      length = 0;
    },
  };
}

function doubled<T extends Float64Array | Int32Array>(full: T): T {
  const next = new (full.constructor as new (length: number) => T)(2 * full.length);
  next.set(full);
  return next;
}
