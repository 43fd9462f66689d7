import { type DeviceFrame, encodeDeviceLine } from '../../firmware-protocol/index.js';
import type { Wire } from './wire.js';

type Unnumbered<Frame> = Frame extends DeviceFrame ? Omit<Frame, 'sequence'> : never;

/** A frame that does not have its line number yet. */
export type UnnumberedFrame = Unnumbered<DeviceFrame>;

/** Numbers the device's lines and counts those that had no room. */
export interface LineSender {
  /** Sends a line that must arrive. */
  say(frame: UnnumberedFrame, time_s: number): void;
  /** Sends a sample if there is room; false when it was dropped. */
  offer(frame: UnnumberedFrame, time_s: number): boolean;
  /** Sends the first half of a line, as when a reset cuts it. */
  sayHalf(frame: UnnumberedFrame): void;
  /** Begins anew with line 0. */
  restart(): void;
  /** Lines dropped since `forget`. */
  readonly dropped: number;
  forget(): void;
}

/** Sends lines over a wire. */
export function lineSender(wire: Wire): LineSender {
  let sequence = 0;
  let dropped = 0;

  function number(frame: UnnumberedFrame): Uint8Array {
    const line = encodeDeviceLine({ ...frame, sequence } as DeviceFrame);
    sequence = (sequence + 1) & 0xffff;
    return line;
  }

  return {
    say(frame, time_s) {
      wire.send(number(frame), time_s);
    },
    offer(frame, time_s) {
      const sent = wire.offer(number(frame), time_s);
      if (!sent) dropped++;
      return sent;
    },
    sayHalf(frame) {
      const line = number(frame);
      wire.sendRaw(line.subarray(0, line.length >> 1));
    },
    restart() {
      sequence = 0;
      dropped = 0;
    },
    get dropped() {
      return dropped;
    },
    forget() {
      dropped = 0;
    },
  };
}
