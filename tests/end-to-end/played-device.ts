import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';

const script = fileURLToPath(new URL('./played-device.mjs', import.meta.url));

export interface PlayedDevice {
  /** The device node of the pseudo-terminal. */
  readonly path: string;
  /** What it plays: drag per direction and mean, breakaway. */
  truth(): { readonly drag: { readonly mean_N: number }; readonly breakaway_N: number };
  /** Device time of the last force sample that left it, in µs. */
  lastSent_us(): number;
  /** Crank speed that was asked for when the other side hung up, rev/s. */
  leftAt_rev_per_s(): number;
  /** Does something at the rig with its owner's hands: kilograms on the cell, metres of the slide, what is mounted. */
  hand(asked: { hang?: number; holdAt?: number; mount?: string }): Promise<void>;
  /** Resolves when the other side has hung up. */
  readonly ended: Promise<void>;
  kill(): void;
}

export interface Played {
  readonly seed: number;
  readonly build?: string;
  /** A test piece in place of a build. */
  readonly piece?: string;
  readonly mounting: number;
  /** Device seconds per second. */
  readonly speedUp: number;
}

/**
 * Starts a process that plays the simulated rig behind a pseudo-terminal made by socat.
 * @param within folder that the device may use
 */
export async function playDevice(within: string, played: Played): Promise<PlayedDevice> {
  const folder = mkdtempSync(join(within, 'device-'));
  const path = join(folder, 'tty');
  const child = startSocat(path, JSON.stringify({ ...played, folder }));
  const ended = new Promise<void>((resolve) => child.on('close', () => resolve()));
  let failure: Error | null = null;
  child.on('error', (error) => {
    failure = new Error(`socat did not start (${error.message}): install the package socat`);
  });
  for (let looks = 0; !existsSync(path); looks++) {
    if (failure || looks > 500) throw failure ?? new Error('socat made no pseudo-terminal within 10 s');
    await pause(20);
  }
  return {
    path,
    truth: () => JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8')),
    lastSent_us: () => JSON.parse(readFileSync(join(folder, 'sent.json'), 'utf8')).deviceTime_us,
    leftAt_rev_per_s: () =>
      JSON.parse(readFileSync(join(folder, 'hung-up.json'), 'utf8')).commanded_rev_per_s,
    async hand(asked) {
      const file = join(folder, 'hand.json');
      writeFileSync(`${file}.new`, JSON.stringify(asked));
      renameSync(`${file}.new`, file);
      while (existsSync(file)) await pause(5);
    },
    ended,
    kill: () => void child.kill(),
  };
}

function startSocat(path: string, played: string): ChildProcess {
  // The device's argument goes through the environment, since socat has quoting rules of its own.
  const run = `exec "$PLAYED_NODE" "$PLAYED_SCRIPT" "$PLAYED"`;
  return spawn('socat', [`PTY,raw,echo=0,link=${path},wait-slave`, `SYSTEM:${run}`], {
    env: { ...process.env, PLAYED_NODE: process.execPath, PLAYED_SCRIPT: script, PLAYED: played },
    stdio: ['ignore', 'ignore', 'inherit'],
  });
}
