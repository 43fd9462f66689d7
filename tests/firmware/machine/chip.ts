import {
  AVRADC,
  AVRClock,
  AVRIOPort,
  AVRTWI,
  AVRWatchdog,
  adcConfig,
  avrInstruction,
  CPU,
  clockConfig,
  portBConfig,
  portCConfig,
  portDConfig,
  twiConfig,
  watchdogConfig,
} from 'avr8js';
import { type Timer1, timer1 } from './timer1.js';
import { type Usart, usart } from './usart.js';

export const frequency_Hz = 16_000_000;

/** What is soldered to the controller. */
export interface Surroundings {
  /** A byte has left on the serial line. */
  byteSent(byte: number): void;
  /** A port's outputs changed: its letter and the level of its eight pins. */
  outputsChanged(port: 'B' | 'D', levels: number): void;
  /** Reading of the analog slide now, 0 to 1023. */
  slideReading(): number;
  /** What hangs on the I2C bus. */
  readonly bus: readonly BusDevice[];
}

export interface BusDevice {
  readonly address: number;
  write(byte: number): void;
  read(): number;
  begin(): void;
}

/** One life of the controller, from a reset to the next. Time goes on through resets, and so does its memory. */
export interface Chip {
  readonly cpu: CPU;
  readonly usart: Usart;
  readonly timer1: Timer1;
  setPin(port: 'B' | 'C' | 'D', pin: number, high: boolean): void;
  /** Runs to a cycle, or to a reset by the watchdog. @returns whether the watchdog has struck */
  runUntil(cycle: number): boolean;
  /** Cycles in which the controller was awake. */
  readonly awake: number;
}

export type ResetCause = 'power' | 'external' | 'watchdog';

const causeFlags: Readonly<Record<ResetCause, number>> = { power: 1, external: 2, watchdog: 8 };
const SLEEP = 0x9588;
const SEI = 0x9478;
const SMCR = 0x53;
const MCUSR = 0x54;
const WDTCSR = 0x60;
/** Bound here once: the test runner looks an import of another package up anew at every use, and this one is used most. */
const execute = avrInstruction;
/** Cycles from an interrupt in idle sleep to the first instruction after, beyond those of the interrupt itself. */
const WAKE_CYCLES = 4;

/**
 * Starts the program after a reset, with what the library gives and this folder corrects: the reset itself (the
 * library's keeps registers and loses its serial unit), serial unit, timer, sleep, and the time that I2C takes.
 * @param before the life before this one, null after power-on
 * @param clearedCause whether a boot loader has cleared the cause, as the common one does
 */
export function chip(
  program: Uint16Array<ArrayBuffer>,
  around: Surroundings,
  cause: ResetCause,
  before: Chip | null,
  startCycle: number,
  clearedCause: boolean,
): Chip {
  const cpu = new CPU(program, 2048);
  const waiting = cpu as unknown as { nextClockEvent: { cycles: number } | null };
  cpu.cycles = startCycle;
  // Memory comes up with anything in it; a mark shows later how deep the stack went.
  if (before) cpu.data.set(before.cpu.data.subarray(0x100), 0x100);
  else cpu.data.fill(0xa5, 0x100);
  cpu.data[MCUSR] = clearedCause ? 0 : causeFlags[cause];
  let struck = false;
  let awake = before?.awake ?? 0;
  let asleep = false;

  const ports = {
    B: new AVRIOPort(cpu, portBConfig),
    C: new AVRIOPort(cpu, portCConfig),
    D: new AVRIOPort(cpu, portDConfig),
  };
  ports.B.addListener((levels) => around.outputsChanged('B', levels));
  ports.D.addListener((levels) => around.outputsChanged('D', levels));
  const serial = usart(cpu, frequency_Hz, around.byteSent);
  const timer = timer1(cpu);
  const adc = new AVRADC(cpu, adcConfig);
  adc.onADCRead = () => {
    // A conversion begins with the next clock of the converter and holds its input 1.5 of 13 clocks later.
    const clock = adc.prescaler;
    const begin = Math.ceil(cpu.cycles / clock) * clock - cpu.cycles;
    const length = adc.sampleCycles;
    cpu.addClockEvent(
      () => {
        const reading = around.slideReading();
        cpu.addClockEvent(() => adc.completeADCRead(reading), length - 1.5 * clock);
      },
      begin + 1.5 * clock,
    );
  };
  slowBus(cpu, new AVRTWI(cpu, twiConfig, frequency_Hz), around.bus);
  new AVRWatchdog(cpu, watchdogConfig, new AVRClock(cpu, frequency_Hz, clockConfig));
  cpu.reset = () => {
    struck = true;
  };
  if (cause === 'watchdog') {
    // It goes on running after it has struck, at its shortest period.
    cpu.writeData(WDTCSR, 0x18);
    cpu.writeData(WDTCSR, 0x08);
  }

  function happen() {
    do cpu.tick();
    while (waiting.nextClockEvent !== null && waiting.nextClockEvent.cycles <= cpu.cycles);
  }

  return {
    cpu,
    usart: serial,
    timer1: timer,
    setPin: (port, pin, high) => ports[port].setPin(pin, high),
    get awake() {
      return awake;
    },
    runUntil(cycle) {
      while (cpu.cycles < cycle && !struck) {
        if (asleep) {
          const next = waiting.nextClockEvent?.cycles ?? Number.POSITIVE_INFINITY;
          if (cpu.nextInterrupt < 0) cpu.cycles = Math.min(cycle, Math.max(next, cpu.cycles));
          const resting = cpu.pc;
          happen();
          if (cpu.pc === resting) continue;
          asleep = false;
          cpu.cycles += WAKE_CYCLES;
          awake += WAKE_CYCLES;
        }
        const begun = cpu.cycles;
        // The instruction after SEI runs before any interrupt: how a program goes to sleep without missing one.
        while (program[cpu.pc] === SEI) execute(cpu);
        asleep = program[cpu.pc] === SLEEP && (cpu.data[SMCR]! & 1) !== 0;
        execute(cpu);
        awake += cpu.cycles - begun;
        const due = waiting.nextClockEvent !== null && waiting.nextClockEvent.cycles <= cpu.cycles;
        if (!asleep && (due || cpu.nextInterrupt >= 0)) happen();
      }
      return struck;
    },
  };
}

/** Makes the bus take its time, which the library's does not, and keeps its status from being written. */
function slowBus(cpu: CPU, twi: AVRTWI, devices: readonly BusDevice[]) {
  cpu.writeHooks[twiConfig.TWSR] = (value, old) => {
    cpu.data[twiConfig.TWSR] = (old & 0xf8) | (value & 0x03);
    return true;
  };
  const after = (bits: number, then: () => void) =>
    cpu.addClockEvent(then, (bits * frequency_Hz) / twi.sclFrequency);
  let addressed: BusDevice | undefined;
  twi.eventHandler = {
    start: () => after(1, () => twi.completeStart()),
    stop: () => after(1, () => twi.completeStop()),
    connectToSlave(address, write) {
      addressed = devices.find((device) => device.address === address);
      if (write) addressed?.begin();
      const isThere = addressed !== undefined;
      after(9, () => twi.completeConnect(isThere));
    },
    writeByte(byte) {
      addressed?.write(byte);
      const isThere = addressed !== undefined;
      after(9, () => twi.completeWrite(isThere));
    },
    readByte() {
      const byte = addressed?.read() ?? 0xff;
      after(9, () => twi.completeRead(byte));
    },
  };
}
