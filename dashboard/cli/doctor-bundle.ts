import { existsSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { cpus, homedir, hostname, totalmem, userInfo } from 'node:os';
import type { DoctorCheck } from './doctor-checks.js';
import { version } from './version.js';

/** What the bundle leaves out, said to whoever is about to share it. */
export const LEFT_OUT =
  'Names of shocks, builds and rigs, notes, samples and paths are not in it: home, user, machine and logbook are written as ~, <user>, <machine>, <logbook>.';

/**
 * Writes what helps somebody else to help: the checks, the machine, and how the last recordings went, in numbers.
 * @throws what writing throws; nothing is overwritten
 */
export async function writeDoctorBundle(
  path: string,
  logbook: string,
  checks: readonly DoctorCheck[],
): Promise<void> {
  const bundle = {
    format: 'dashpot-bench doctor',
    version: version(),
    leftOut: LEFT_OUT,
    machine: {
      platform: process.platform,
      arch: process.arch,
      node: process.version,
      processors: cpus().length,
      memory_bytes: totalmem(),
    },
    checks,
    lastRecordings: await lastRecordings(logbook),
  };
  await writeFile(path, `${withoutPrivate(JSON.stringify(bundle, null, 2), logbook)}\n`, { flag: 'wx' });
}

const LAST = 10;

async function lastRecordings(path: string) {
  if (!existsSync(path)) return [];
  const { openLogbook } = await import('../../daq/index.js');
  try {
    const logbook = openLogbook(path, { readOnly: true });
    try {
      return logbook
        .listRecordings({ withDiscarded: true })
        .slice(-LAST)
        .map(({ id, state, stateReason, statistics, identity, procedure, simulated }) => ({
          id,
          state,
          stateReason,
          statistics,
          firmware: identity?.firmware ?? null,
          channels: identity?.channels ?? [],
          procedure: procedure.name,
          events: procedure.events.slice(0, 20),
          simulated,
        }));
    } finally {
      logbook.close();
    }
  } catch {
    // The checks tell what is wrong with it.
    return [];
  }
}

/** Replaces what tells who and where somebody is, the longest first, since one may lie in another. */
export function withoutPrivate(text: string, logbook: string): string {
  const own = [
    [logbook, '<logbook>'],
    [homedir(), '~'],
    [hostname(), '<machine>'],
    [userInfo().username, '<user>'],
  ] as const;
  return own
    .filter(([secret]) => secret.length > 2)
    .reduce((left, [secret, name]) => left.replaceAll(JSON.stringify(secret).slice(1, -1), name), text);
}
