import type { CPU } from 'avr8js';
import { timer1Config } from 'avr8js';
import type { Interrupt } from './interrupt.js';

/** The 16-bit timer with its capture input. */
export interface Timer1 {
  /** The capture pin fell in this cycle. */
  pinFell(cycle: number): void;
}

const { TCCRA, TCCRB, TCNT, ICR, OCRA, OCRB, TIMSK, TIFR } = timer1Config;
const ICF = 0x20;
const NOISE_CANCELLER = 0x80;
const RISING = 0x40;
/** Clock cycles for which the noise canceller wants the pin to stay as it is. */
const CANCELLER_CYCLES = 4;

/**
 * Timer 1 counting up freely, the one way in which the firmware uses it. The library's timer knows no capture, and wakes
 * at every tick, which would cost more time than everything else; this one knows when its next flag is due.
 * Source: data sheet of the ATmega328P, chapter "16-bit Timer/Counter1".
 * @throws Error when the program wants interrupts of another mode
 */
export function timer1(cpu: CPU): Timer1 {
  const interrupt = (address: number, mask: number): Interrupt => ({
    address,
    flagRegister: TIFR,
    flagMask: mask,
    enableRegister: TIMSK,
    enableMask: mask,
  });
  const captured = interrupt(timer1Config.captureInterrupt, ICF);
  const overflowed = interrupt(timer1Config.ovfInterrupt, timer1Config.TOV);
  const flags = [captured, overflowed];
  let divider = 0;
  /** Ticks at cycle 0, had the timer run then as it does now; the prescaler is never stopped. */
  let offset = 0;
  let stopped = 0;
  let high = 0;

  const ticksAt = (cycle: number) =>
    divider === 0 ? stopped : (Math.floor(cycle / divider) + offset) & 0xffff;

  /**
   * Sets a flag each time the counter comes to `ticks`. What was waited for before is let go by: taking an event out of
   * the library's list loses those before it.
   */
  function watch(flag: Interrupt, ticks: () => number) {
    let due = 0;
    const wait = () => {
      const left = (ticks() - ticksAt(cpu.cycles)) & 0xffff || 65_536;
      const cycle = (Math.floor(cpu.cycles / divider) + left) * divider;
      due = cycle;
      cpu.addClockEvent(() => {
        if (due !== cycle) return;
        cpu.setInterruptFlag(flag);
        wait();
      }, cycle - cpu.cycles);
    };
    return () => {
      due = 0;
      if (divider > 0) wait();
    };
  }
  const watches = [watch(overflowed, () => 0)];

  function sixteenBit(address: number, read: () => number, write: (value: number) => void) {
    cpu.readHooks[address] = () => {
      const value = read();
      high = value >> 8;
      return value & 0xff;
    };
    cpu.readHooks[address + 1] = () => high;
    cpu.writeHooks[address] = (value) => {
      write((high << 8) | value);
      return true;
    };
    cpu.writeHooks[address + 1] = (value) => {
      high = value;
      return true;
    };
  }

  for (const [register, address, mask] of [
    [OCRA, timer1Config.compAInterrupt, timer1Config.OCFA],
    [OCRB, timer1Config.compBInterrupt, timer1Config.OCFB],
  ] as const) {
    const matched = interrupt(address, mask);
    let wanted = 0;
    const watchMatch = watch(matched, () => wanted);
    flags.push(matched);
    watches.push(watchMatch);
    sixteenBit(
      register,
      () => wanted,
      (value) => {
        wanted = value;
        watchMatch();
      },
    );
  }
  let capture = 0;
  sixteenBit(
    ICR,
    () => capture,
    () => {},
  );
  sixteenBit(
    TCNT,
    () => ticksAt(cpu.cycles),
    (value) => {
      offset += value - ticksAt(cpu.cycles);
      stopped = value;
      for (const again of watches) again();
    },
  );

  cpu.writeHooks[TCCRB] = (value) => {
    const now = ticksAt(cpu.cycles);
    divider = timer1Config.dividers[(value & 7) as keyof typeof timer1Config.dividers];
    stopped = now;
    if (divider > 0) offset = now - Math.floor(cpu.cycles / divider);
    for (const again of watches) again();
  };
  cpu.writeHooks[TIFR] = (value) => {
    for (const flag of flags) if (value & flag.flagMask) cpu.clearInterrupt(flag);
    return true;
  };
  cpu.writeHooks[TIMSK] = (value) => {
    const mode = (cpu.data[TCCRA]! & 0x03) | (cpu.data[TCCRB]! & 0x18);
    if (value !== 0 && mode !== 0) throw new Error(`timer 1: found mode bits ${mode}, wanted free counting`);
    cpu.data[TIMSK] = value;
    for (const flag of flags) cpu.updateInterruptEnable(flag, value);
    return true;
  };

  return {
    pinFell(cycle) {
      const control = cpu.data[TCCRB]!;
      if (control & RISING) return;
      capture = ticksAt(cycle + (control & NOISE_CANCELLER ? CANCELLER_CYCLES : 0));
      cpu.setInterruptFlag(captured);
    },
  };
}
