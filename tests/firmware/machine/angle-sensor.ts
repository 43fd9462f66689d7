import type { BusDevice } from './chip.js';

/**
 * A 12-bit magnetic angle sensor on I2C, as far as the firmware uses it: settings that can be read and written, and an
 * angle that is latched when its upper byte is read. Source: register map of the common part's data sheet.
 * @param angle_counts the angle now, any number of turns
 */
export function angleSensor(
  angle_counts: () => number,
): BusDevice & { readonly settings: number; fault: boolean } {
  let pointer = 0;
  let pointed = false;
  let latched = 0;
  const sensor = {
    address: 0x36,
    /** Upper byte of the settings, with a maker's bit that a program must keep. */
    settings: 0xa0,
    /** Taken off the bus. */
    fault: false,
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
