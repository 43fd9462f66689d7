import { type ChildProcessByStdio, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Readable, Writable } from 'node:stream';
import { setImmediate as nextTurn, setTimeout as pause } from 'node:timers/promises';
import { type SimulatedBoard, simulatedBoard } from '../firmware/machine/simulated-board.js';

/** Board time between two looks at what else this process has to do. */
const LONGEST_TURN_S = 0.02;
const SHORTEST_TURN_S = 0.004;

/** A board that runs beside the clock on the wall, with a device node that other programs can open. */
export interface BoardBehindTerminal {
  readonly board: SimulatedBoard;
  readonly path: string;
  /** The board loses its power; the device node stays. */
  stop(): Promise<void>;
  end(): Promise<void>;
}

/**
 * Plays a simulated board behind a pseudo-terminal made by socat. A pseudo-terminal has no reset line, so opening it
 * resets nothing.
 * @param program a prebuilt program
 * @param folder where the device node appears
 */
export async function boardBehindTerminal(program: string, folder: string): Promise<BoardBehindTerminal> {
  const path = join(folder, 'tty');
  const socat = spawn('socat', [`PTY,raw,echo=0,link=${path}`, 'STDIO'], {
    stdio: ['pipe', 'pipe', 'inherit'],
  }) as ChildProcessByStdio<Writable, Readable, null>;
  let failure: Error | null = null;
  socat.on('error', (error) => {
    failure = new Error(`socat did not start (${error.message}): install the package socat`);
  });
  socat.stdin.on('error', () => {});
  for (let looks = 0; !existsSync(path); looks++) {
    if (failure || looks > 500) throw failure ?? new Error('socat made no pseudo-terminal within 10 s');
    await pause(20);
  }

  let sent: number[] = [];
  const board = simulatedBoard({ program, seed: 1, onByte: (byte) => sent.push(byte) });
  socat.stdout.on('data', (bytes: Buffer) => board.receive(bytes));
  let isOver = false;
  const over = run();

  /** What this process was held up for is made up. */
  async function run() {
    const origin_s = performance.now() / 1000 - board.time_s;
    while (!isOver) {
      const behind_s = performance.now() / 1000 - origin_s - board.time_s;
      if (behind_s < SHORTEST_TURN_S) await pause(1000 * SHORTEST_TURN_S);
      else await nextTurn();
      board.runFor(Math.max(0, Math.min(behind_s, LONGEST_TURN_S)));
      if (sent.length > 0) socat.stdin.write(Uint8Array.from(sent));
      sent = [];
    }
  }

  async function stop() {
    isOver = true;
    await over;
  }
  return {
    board,
    path,
    stop,
    async end() {
      await stop();
      socat.kill();
    },
  };
}
