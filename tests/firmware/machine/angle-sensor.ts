import type { BusDevice } from './chip.js';

export interface AngleSensor extends BusDevice {
  /** Set to another, it no longer answers. */
  address: number;
  /** Upper byte of its settings. */
  readonly settings: number;
}

/**
 * A 12-bit magnetic angle sensor on I2C, as far as the firmware uses it: settings that can be read and written, and an
 * angle that is latched when its upper byte is read. Source: register map of the common part's data sheet.
 * @param angle_counts the angle now, any number of turns
 */
export function angleSensor(angle_counts: () => number): AngleSensor {
  let pointer = 0;
  let pointed = false;
  let latched = 0;
  const sensor = {
    address: 0x36,
    /** With bits of the maker's own, which a program must keep. */
    settings: 0xa0,
    begin() {
      pointed = false;
    },
    write(byte: number) {
      if (!pointed) pointer = byte;
      else if (pointer === 0x07) sensor.settings = byte;
      pointed = true;
    },
    read(): number {
      const address = pointer++;
      if (address === 0x07) return sensor.settings;
      if (address === 0x0c) {
        latched = Math.floor(angle_counts()) & 0xfff;
        return latched >> 8;
      }
      return address === 0x0d ? latched & 0xff : 0;
    },
  };
  return sensor;
}
