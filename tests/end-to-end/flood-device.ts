import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';

/** Counts of the sample of a number, as flood-device.mjs makes them. */
export const sampleCounts = (n: number) => ((n * 2_654_435_761) % 2 ** 24) - 2 ** 23;

/** Device seconds that so many lines take, a force and a position sample each 2.5 ms; the last pair is reached a ms later. */
export const floodDuration_s = (lines: number) => (0.0025 * (lines - 2)) / 2 - 0.001;

/**
 * Starts a device that floods whoever opens it, behind a pseudo-terminal made by socat.
 * @param root of the repository
 * @param within folder for the device's node
 * @param atOnce begins as soon as the node is opened, without being told
 */
export async function floodDevice(root: string, within: string, lines: number, atOnce: boolean) {
  const path = join(mkdtempSync(join(within, 'flood-')), 'tty');
  const ready = `${path}.ready`;
  const script = join(root, 'tests/end-to-end/flood-device.mjs');
  const child = spawn(
    'socat',
    ['-b', '65536', `PTY,raw,echo=0,link=${path}`, `SYSTEM:exec "$NODE" "$SCRIPT" "$ABOUT"`],
    {
      env: {
        ...process.env,
        NODE: process.execPath,
        SCRIPT: script,
        ABOUT: JSON.stringify({ lines, atOnce, ready }),
      },
      stdio: ['ignore', 'ignore', 'inherit'],
    },
  );
  const ended = new Promise<void>((resolve) => child.on('close', () => resolve()));
  // Making millions of lines takes it seconds.
  for (let looks = 0; !(existsSync(path) && existsSync(ready)); looks++) {
    if (looks > 3000) throw new Error('no device behind a pseudo-terminal within 60 s; is socat installed?');
    await pause(20);
  }
  return { path, ended, kill: () => void child.kill() };
}
