import type { BusDevice } from './chip.js';

export interface Thermometer extends BusDevice {
  /** Set to another, it no longer answers. */
  address: number;
  temperature_degC: number;
}

/** A thermometer on I2C with steps of a sixteenth of a degree, whose first register is all that is played. */
export function thermometer(): Thermometer {
  let next = 0;
  const sensor = {
    address: 0x48,
    temperature_degC: 21.5,
    begin() {},
    write(register: number) {
      next = register;
    },
    read(): number {
      if (next > 1) return 0xff;
      // Sixteenths, in the upper twelve of sixteen bits.
      const register = (Math.floor(sensor.temperature_degC * 16) << 4) & 0xffff;
      return next++ === 0 ? register >> 8 : register & 0xff;
    },
  };
  return sensor;
}
