import type { CPU } from 'avr8js';

/** How the library describes an interrupt, by a name that it does not export. */
export type Interrupt = Parameters<CPU['setInterruptFlag']>[0];
