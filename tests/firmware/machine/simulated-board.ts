import { readFileSync } from 'node:fs';
import { type Agenda, agenda } from './agenda.js';
import { type AngleSensor, angleSensor } from './angle-sensor.js';
import { type BootLoader, bootLoader } from './boot-loader.js';
import { type Chip, chip, frequency_Hz, type ResetCause, type Surroundings } from './chip.js';
import { type Converter, type ConverterOptions, converter } from './converter.js';
import { programOf } from './intel-hex.js';
import { type Motor, motor } from './motor.js';
import { type MovingShock, movingShock, type PlayedCrank, type PlayedShock } from './moving-shock.js';
import { noiseFrom } from './random.js';
import { type Thermometer, thermometer } from './thermometer.js';

export interface BoardOptions {
  /** Name of a prebuilt program, or the text of a HEX file. */
  readonly program: string;
  readonly seed: number;
  readonly shock?: PlayedShock;
  readonly crank?: PlayedCrank;
  readonly converter?: Partial<ConverterOptions>;
  /** Noise of the slide's reading, in steps of its converter. */
  readonly slideNoise?: number;
  /** Called with each look at the slide: when it was held, and where it then stood. */
  readonly onSlideReading?: (time_s: number, position_m: number) => void;
  /** Whether a reset from outside goes through a boot loader. */
  readonly bootLoader?: boolean;
  /** Called with each byte that arrives at the host, as the host's baud rate makes it read. */
  readonly onByte?: (byte: number) => void;
}

export type Button = 'stop' | 'end-1' | 'end-2' | 'rearm';

/** A board with its sensors, motor and buttons. Everything runs on the controller's cycles. */
export interface SimulatedBoard {
  readonly chip: Chip;
  readonly converter: Converter;
  readonly motor: Motor;
  readonly shock: MovingShock;
  readonly angleSensor: AngleSensor;
  readonly thermometer: Thermometer;
  readonly time_s: number;
  readonly happenings: Agenda;
  runUntil(cycle: number): void;
  runFor(time_s: number): void;
  /** Pulls the reset pin, as opening the port does on most boards. */
  reset(): void;
  /** The program finds itself in a loop that does nothing. */
  hang(): void;
  /** Bytes from the host, sent at its baud rate. */
  receive(bytes: Uint8Array): void;
  /** What the host has set. */
  baudRate: number;
  press(button: Button, pressed: boolean): void;
  /** Resets so far, the first at power-on. */
  readonly resets: { readonly cycle: number; readonly cause: ResetCause }[];
}

export const stillShock: PlayedShock = {
  drag_N: [0.8, 0.7],
  breakawayRatio: 1.3,
  linear_Ns_per_m: [22, 26],
  quadratic_Ns2_per_m2: [18, 14],
  gas: { offset_N: 1.1, rate_N_per_m: 25 },
  movingMass_kg: 0.012,
};

export const usualCrank: PlayedCrank = {
  radius_m: 12e-3,
  rod_m: 60e-3,
  fullPower_rev_per_s: 4,
  settling_s: 0.08,
  ripple: 0.015,
};

/** What an exact owner would have measured. */
export const slideSpan_m = 60e-3;
export const slideStart_m = 15e-3;
const usualConverter = {
  rate_Hz: 80,
  order: 4,
  counts_per_N: 21_900,
  zero_counts: 41_000,
  noise_counts: 38,
} as const;

/** Baud rates further apart than this read as something else. Common practice, no source. */
const BAUD_TOLERANCE = 0.03;

const JUMP_TO_ITSELF = 0xcfff;

const pins: Readonly<Record<Button, readonly ['B' | 'D', number]>> = {
  stop: ['D', 2],
  'end-1': ['D', 5],
  'end-2': ['D', 6],
  rearm: ['B', 1],
};

const prebuilt = new URL('../../../firmware-protocol/firmware/prebuilt/', import.meta.url);

/** Switches a board on. Buttons of the normally closed kind stand closed, so their pins are low. */
export function simulatedBoard(options: BoardOptions): SimulatedBoard {
  const text = options.program.startsWith(':')
    ? options.program
    : readFileSync(new URL(`${options.program}.hex`, prebuilt), 'utf8');
  const program = programOf(text);
  const happenings = agenda();
  const slideNoise = noiseFrom(options.seed + 1);
  let now = 0;
  let loader: BootLoader | null = null;
  let lineFreeAt = 0;
  let clockHigh = false;
  const levels: Record<Button | 'data', boolean> = {
    stop: false,
    'end-1': false,
    'end-2': false,
    rearm: true,
    data: true,
  };

  const shock = movingShock(options.shock ?? stillShock, options.crank ?? usualCrank, (force_N) =>
    cell.feel(force_N),
  );
  const cell = converter(
    { ...usualConverter, noise: noiseFrom(options.seed), ...options.converter },
    happenings,
    play,
    (high, cycle) => {
      levels.data = high;
      life.setPin('B', 0, high);
      if (!high) life.timer1.pinFell(cycle);
    },
  );
  const angle = angleSensor(() => {
    play(life.cpu.cycles);
    return 300 + (4096 * shock.angle_rad) / (2 * Math.PI);
  });
  const warmth = thermometer();
  const drive = motor();

  const around: Surroundings = {
    byteSent(byte) {
      options.onByte?.(heard(byte));
    },
    outputsChanged(port, outputs) {
      if (port !== 'D') return;
      const high = (outputs & 0x10) !== 0;
      if (high !== clockHigh) {
        clockHigh = high;
        if (high) cell.clockRises(life.cpu.cycles);
        else cell.clockFalls(life.cpu.cycles);
      }
    },
    slideReading() {
      play(life.cpu.cycles);
      const { position_m } = shock;
      options.onSlideReading?.(life.cpu.cycles / frequency_Hz, position_m);
      const steps =
        (1024 * (slideStart_m + position_m)) / slideSpan_m + (options.slideNoise ?? 0.6) * slideNoise();
      return Math.max(0, Math.min(1023, Math.floor(steps)));
    },
    bus: [angle, warmth],
  };

  /** Lets the shock move up to a cycle. */
  function play(cycle: number) {
    shock.power = drive.power;
    shock.playUntil(cycle / frequency_Hz);
  }

  /** A byte as the other end reads it. */
  function heard(byte: number): number {
    const ratio = life.usart.baudRate / board.baudRate;
    return Math.abs(ratio - 1) < BAUD_TOLERANCE ? byte : ((byte * 149) ^ 0xa5) & 0xff;
  }

  function start(cause: ResetCause, cleared: boolean) {
    life = chip(program, around, cause, life, now, cleared);
    drive.attach(life.cpu);
    clockHigh = false;
    for (const button of Object.keys(pins) as Button[]) life.setPin(...pins[button], levels[button]);
    life.setPin('B', 0, levels.data);
    board.resets.push({ cycle: now, cause });
  }

  function arrive(byte: number, cycle: number) {
    if (loader) loader.receive(byte, cycle);
    else life.usart.receive(heard(byte));
  }

  function runUntil(cycle: number) {
    while (now < cycle) {
      const next = Math.min(cycle, happenings.next, loader?.startsAt ?? Number.POSITIVE_INFINITY);
      if (loader) now = Math.max(now, next);
      else if (life.runUntil(next)) {
        now = life.cpu.cycles;
        start('watchdog', options.bootLoader ?? false);
      } else now = Math.max(now, next);
      happenings.happenUntil(now);
      if (loader && now >= loader.startsAt) {
        loader = null;
        start('external', true);
      }
    }
    play(now);
  }

  let life: Chip = null as unknown as Chip;
  const board: SimulatedBoard = {
    get chip() {
      return life;
    },
    converter: cell,
    motor: drive,
    shock,
    angleSensor: angle,
    thermometer: warmth,
    happenings,
    get time_s() {
      return now / frequency_Hz;
    },
    baudRate: 250_000,
    resets: [],
    runUntil,
    runFor: (time_s) => runUntil(now + time_s * frequency_Hz),
    reset() {
      if (options.bootLoader) {
        drive.detach(now);
        loader = bootLoader(now, (byte) => options.onByte?.(byte));
      } else start('external', false);
    },
    hang() {
      const lastWord = program.length - 1;
      program[lastWord] = JUMP_TO_ITSELF;
      life.cpu.pc = lastWord;
    },
    receive(bytes) {
      for (const byte of bytes) {
        lineFreeAt = Math.max(now, lineFreeAt) + (10 * frequency_Hz) / board.baudRate;
        const arrival = lineFreeAt;
        happenings.at(arrival, () => arrive(byte, arrival));
      }
    },
    press(button, pressed) {
      levels[button] = button === 'rearm' ? !pressed : pressed;
      life.setPin(...pins[button], levels[button]);
    },
  };
  start('power', false);
  return board;
}
