import type { CPU } from 'avr8js';

/** The motor driver as wired: a pulsed power pin of timer 2 and an enable pin, each with a pull-down. */
export interface Motor {
  /** Power that reaches the motor, 0 to 1. */
  readonly power: number;
  /** Each change of it. */
  readonly changes: { readonly cycle: number; readonly power: number }[];
  /** Reads the pins of a controller from now on. */
  attach(cpu: CPU): void;
  /** The pins float. */
  detach(cycle: number): void;
}

const PORTD = 0x2b;
const DDRD = 0x2a;
const TCCR2A = 0xb0;
const OCR2B = 0xb4;
const POWER_PIN = 1 << 3;
const ENABLE_PIN = 1 << 7;
const COM2B1 = 0x20;

/** Follows the share of time that the power pin is high, without playing its pulses. */
export function motor(): Motor {
  const changes: { cycle: number; power: number }[] = [];
  let power = 0;

  function become(cycle: number, next: number) {
    if (next === power) return;
    power = next;
    changes.push({ cycle, power });
  }

  return {
    get power() {
      return power;
    },
    changes,
    attach(cpu) {
      const look = () => {
        const outputs = cpu.data[DDRD]! & (cpu.data[PORTD]! | POWER_PIN);
        const driven = (outputs & ENABLE_PIN) !== 0 && (outputs & POWER_PIN) !== 0;
        const pulsed = (cpu.data[TCCR2A]! & COM2B1) !== 0;
        become(cpu.cycles, driven && pulsed ? cpu.data[OCR2B]! / 255 : 0);
      };
      for (const register of [DDRD, PORTD, TCCR2A, OCR2B]) {
        const before = cpu.writeHooks[register];
        cpu.writeHooks[register] = (value, old, address, mask) => {
          if (!before?.(value, old, address, mask)) cpu.data[register] = value;
          look();
          return true;
        };
      }
      look();
    },
    detach: (cycle) => become(cycle, 0),
  };
}
