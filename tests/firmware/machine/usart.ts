import type { CPU } from 'avr8js';
import { usart0Config } from 'avr8js';
import type { Interrupt } from './interrupt.js';

/** The controller's serial unit as the wire sees it. */
export interface Usart {
  /** A byte's stop bit has come in. */
  receive(byte: number): void;
  /** Baud rate that the program has set. */
  readonly baudRate: number;
  /** Bytes that came while three were waiting, and were lost. */
  readonly overrun: number;
}

const { UCSRA, UCSRB, UBRRL, UBRRH, UDR } = usart0Config;
const RXC = 0x80;
const TXC = 0x40;
const UDRE = 0x20;
const U2X = 0x02;
const RXEN = 0x10;
const TXEN = 0x08;

/**
 * The library's own serial unit sends a byte only when the one before has left, forgets that its data register is
 * empty, and receives one byte at a time. The real one has a register to write to while another byte leaves, an
 * "empty" flag that stands as long as it is empty, and room for two received bytes and one still in the shift register.
 * Source: data sheet of the ATmega328P, chapter USART0.
 * @param onByte called when a byte has left
 */
export function usart(cpu: CPU, frequency_Hz: number, onByte: (byte: number) => void): Usart {
  const interrupt = (address: number, flagMask: number): Interrupt => ({
    address,
    flagRegister: UCSRA,
    flagMask,
    enableRegister: UCSRB,
    enableMask: flagMask,
    constant: flagMask !== TXC,
  });
  const received = interrupt(usart0Config.rxCompleteInterrupt, RXC);
  const empty = interrupt(usart0Config.dataRegisterEmptyInterrupt, UDRE);
  const sent = interrupt(usart0Config.txCompleteInterrupt, TXC);
  const waiting: number[] = [];
  let leaving = false;
  let next: number | null = null;
  let overrun = 0;

  const divider = () => (cpu.data[UBRRH]! << 8) | cpu.data[UBRRL]!;
  const cyclesPerBit = () => (divider() + 1) * (cpu.data[UCSRA]! & U2X ? 8 : 16);
  const has = (bit: number) => (cpu.data[UCSRB]! & bit) !== 0;

  function leave(byte: number) {
    leaving = true;
    cpu.addClockEvent(() => {
      onByte(byte);
      leaving = false;
      if (next === null) cpu.setInterruptFlag(sent);
      else {
        leave(next);
        next = null;
        cpu.setInterruptFlag(empty);
      }
    }, 10 * cyclesPerBit());
  }

  cpu.data[UCSRA] = UDRE;
  cpu.writeHooks[UCSRA] = (value, old) => {
    cpu.data[UCSRA] = (old & (RXC | TXC | UDRE)) | (value & 0x03);
    if (value & TXC) cpu.clearInterrupt(sent);
    return true;
  };
  cpu.writeHooks[UCSRB] = (value) => {
    cpu.data[UCSRB] = value;
    for (const kind of [received, empty, sent]) cpu.updateInterruptEnable(kind, value);
    return true;
  };
  cpu.writeHooks[UDR] = (value) => {
    if (!has(TXEN)) return true;
    if (!leaving) leave(value);
    else if (next === null) {
      next = value;
      cpu.clearInterrupt(empty);
    }
    return true;
  };
  cpu.readHooks[UDR] = () => {
    const byte = waiting.shift() ?? 0;
    if (waiting.length === 0) cpu.clearInterrupt(received);
    return byte;
  };

  return {
    receive(byte) {
      if (!has(RXEN)) return;
      if (waiting.length === 3) {
        overrun++;
        return;
      }
      waiting.push(byte);
      cpu.setInterruptFlag(received);
    },
    get baudRate() {
      return frequency_Hz / cyclesPerBit();
    },
    get overrun() {
      return overrun;
    },
  };
}
