import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Calibration } from '../../daq/calibration.js';
import { openRigLink } from '../../daq/link/rig-link.js';
import { openLogbook } from '../../daq/logbook/open-logbook.js';
import { type BoardPortOptions, boardPort } from './machine/board-port.js';
import { slideSpan_m, slideStart_m } from './machine/simulated-board.js';

/** Sixteen looks of 1024 steps; each rounds down, half a step on average. */
const slideCounts_per_m = (16 * 1024) / slideSpan_m;

/** What an exact owner would have measured on the simulated board. */
const exactCalibration: Calibration = {
  force: { newton_per_count: 1 / 21_900, zero_counts: 41_000 },
  position: { metre_per_count: 1 / slideCounts_per_m, zero_counts: slideStart_m * slideCounts_per_m - 8 },
};

/** An identified board, a logbook that knows its calibration, and a build to record. */
export async function recordingBench(options: BoardPortOptions) {
  const folder = mkdtempSync(join(tmpdir(), 'firmware-'));
  const logbook = openLogbook(join(folder, 'log.db'));
  const port = boardPort(options);
  const link = await openRigLink({ path: port.path, binding: port.binding, clock: port.clock });
  logbook.addCalibration(logbook.rigNamed(link.identity().rigName), exactCalibration);
  const shock = logbook.createShock({ name: 'played shock' });
  const build = logbook.createBuild({ shockId: shock.id, name: 'as played' });
  return {
    port,
    link,
    logbook,
    buildId: build.id,
    async close() {
      await link.close();
      logbook.close();
      rmSync(folder, { recursive: true });
    },
  };
}
