import { existsSync } from 'node:fs';
import { openLogbook } from '../../daq/index.js';
import { countedRemounts } from '../answers/index.js';

/** Enough to know a rig's spread, few enough to analyse while somebody waits. */
const mostBuilds = 8;

/** Names of the latest builds of a logbook with at least two remounts, newest first; none where there is no logbook. */
export function remountedBuilds(path: string): string[] {
  if (!existsSync(path)) return [];
  const logbook = openLogbook(path, { readOnly: true });
  try {
    return logbook
      .listBuilds()
      .filter(({ id }) => countedRemounts(logbook.listRecordings({ buildId: id })).length > 1)
      .map(({ name }) => name)
      .reverse()
      .slice(0, mostBuilds);
  } finally {
    logbook.close();
  }
}
