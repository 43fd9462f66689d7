import { setImmediate as nextTurn } from 'node:timers/promises';
import type { HostClock } from '../../../daq/host-clock.js';
import type { BindingPort, PortBinding } from '../../../daq/ports/port-binding.js';
import { frequency_Hz } from './chip.js';
import { type BoardOptions, type SimulatedBoard, simulatedBoard } from './simulated-board.js';

/** A board behind a serial port that exists only in this process, and the clock that its time drives. */
export interface BoardPort {
  readonly board: SimulatedBoard;
  readonly path: string;
  readonly binding: PortBinding;
  /** Shows the board's time; a host's time-outs run on it. */
  readonly clock: HostClock;
  /** Bytes that found the host's buffer full and were lost. */
  readonly lost: number;
  /** Until this time the computer is busy: it reads nothing and its timers wait. */
  stallUntil_s: number;
  /** Ends the connection without a word to either side. */
  pullCable(): void;
}

export interface BoardPortOptions extends Omit<BoardOptions, 'onByte'> {
  /** What the operating system keeps for a reader that does not read; about that of Linux unless told (from memory). */
  readonly hostBuffer_bytes?: number;
  /** Whether opening the port resets the board, as most boards are wired; it does unless told. */
  readonly resetsOnOpen?: boolean;
}

const path = 'simulated-board';
/** Most time that passes in one turn. */
const TURN_S = 0.01;

interface Timer {
  readonly due_s: number;
  readonly run: () => void;
}

/**
 * Puts a board behind a binding as serialport calls them. Time passes only when the port is read, at most 10 ms at once
 * and never past a host's timer; opening the port pulls the reset pin.
 */
export function boardPort(options: BoardPortOptions): BoardPort {
  const capacity = options.hostBuffer_bytes ?? 65_536;
  const arrived: number[] = [];
  const timers = new Set<Timer>();
  let current: BindingPort | null = null;
  let lost = 0;

  const board = simulatedBoard({
    ...options,
    onByte(byte) {
      if (current === null) return;
      if (arrived.length < capacity) arrived.push(byte);
      else lost++;
    },
  });

  const nextTimer = () => {
    let first: Timer | null = null;
    for (const timer of timers) if (first === null || timer.due_s < first.due_s) first = timer;
    return first;
  };

  /** Lets time pass and everything due happen, timers in the order of their times. */
  function turn() {
    if (board.time_s < boardAtPort.stallUntil_s) return board.runFor(TURN_S);
    const due_s = nextTimer()?.due_s ?? Number.POSITIVE_INFINITY;
    const until_s = Math.max(board.time_s, Math.min(board.time_s + TURN_S, due_s));
    board.runUntil(Math.ceil(until_s * frequency_Hz));
    for (let timer = nextTimer(); timer !== null && timer.due_s <= board.time_s; timer = nextTimer()) {
      timers.delete(timer);
      timer.run();
    }
  }

  function open(openOptions: { path: string; baudRate: number }): BindingPort {
    const insist = () => {
      if (!port.isOpen) throw Object.assign(new Error('the port is closed'), { canceled: true });
    };
    const port: BindingPort = {
      openOptions,
      isOpen: true,
      async close() {
        insist();
        port.isOpen = false;
        current = null;
      },
      async read(buffer, offset, length) {
        for (;;) {
          await nextTurn();
          insist();
          const isBusy = board.time_s < boardAtPort.stallUntil_s;
          if (arrived.length > 0 && !isBusy) {
            const bytes = arrived.splice(0, length);
            buffer.set(bytes, offset);
            return { buffer, bytesRead: bytes.length };
          }
          turn();
        }
      },
      async write(buffer) {
        insist();
        board.receive(buffer);
      },
      async update({ baudRate }) {
        insist();
        board.baudRate = baudRate;
      },
      async set() {
        insist();
      },
      async get() {
        insist();
        return { cts: false, dsr: false, dcd: false };
      },
      async getBaudRate() {
        insist();
        return { baudRate: board.baudRate };
      },
      async flush() {
        insist();
        arrived.length = 0;
      },
      async drain() {
        insist();
      },
    };
    return port;
  }

  const nothing = undefined;
  const boardAtPort: BoardPort & { stallUntil_s: number } = {
    board,
    path,
    stallUntil_s: 0,
    pullCable() {
      if (current) current.isOpen = false;
      current = null;
      timers.clear();
    },
    get lost() {
      return lost;
    },
    binding: {
      async list() {
        const unknown = { manufacturer: nothing, serialNumber: nothing, pnpId: nothing };
        return [{ path, ...unknown, locationId: nothing, productId: nothing, vendorId: nothing }];
      },
      async open(openOptions) {
        if (current) throw new Error('Error Resource temporarily unavailable Cannot lock port');
        board.baudRate = openOptions.baudRate;
        arrived.length = 0;
        current = open(openOptions);
        if (options.resetsOnOpen ?? true) board.reset();
        return current;
      },
    },
    clock: {
      now_ms: () => board.time_s * 1000,
      after(delay_ms, run) {
        const timer = { due_s: board.time_s + delay_ms / 1000, run };
        timers.add(timer);
        return () => void timers.delete(timer);
      },
    },
  };
  return boardAtPort;
}
