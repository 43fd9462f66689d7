import { frequency_Hz } from './chip.js';

/** A common boot loader after a reset from outside: flashes a light, listens for a second, starts the program. */
export interface BootLoader {
  /** A byte came from the host, in this cycle. */
  receive(byte: number, cycle: number): void;
  /** Cycle at which the program starts. */
  readonly startsAt: number;
}

/** Times as measured with the loader's own program on a simulated controller: 0.40 s when disturbed, 1.41 s when not. */
const FLASHES = 0.38 * frequency_Hz;
const PATIENCE = 1.01 * frequency_Hz;
const WATCHDOG = 0.016 * frequency_Hz;
const SYNCHRONISE = [0x30, 0x20];
const IN_SYNC = [0x14, 0x10];

/**
 * Plays a boot loader by what it does to the line: it swallows what comes, answers its own "synchronise" with two bytes
 * that are no line, and gives up early when it hears anything else.
 * @param answer sends a byte to the host
 */
export function bootLoader(resetAt: number, answer: (byte: number) => void): BootLoader {
  const listensAt = resetAt + FLASHES;
  let heard = 0;
  const loader = {
    startsAt: listensAt + PATIENCE,
    receive(byte: number, cycle: number) {
      if (byte !== SYNCHRONISE[heard]) {
        loader.startsAt = Math.min(loader.startsAt, Math.max(cycle, listensAt) + WATCHDOG);
        return;
      }
      heard++;
      if (heard < SYNCHRONISE.length) return;
      heard = 0;
      loader.startsAt = Math.max(cycle, listensAt) + PATIENCE;
      for (const reply of IN_SYNC) answer(reply);
    },
  };
  return loader;
}
