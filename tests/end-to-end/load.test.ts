import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, it } from 'vitest';
import { capture, openLogbook, openRigLink, recordBuild } from '../../daq/index.js';
import { floodDevice, floodDuration_s, sampleCounts } from './flood-device.js';

const LINES = Number(process.env.ENDURANCE_LINES ?? 1_000_000);
const STALL_MS = 3000;
/** What a recording may take beside what it began with, whatever its length. */
const MOST_GROWTH_BYTES = 150e6;

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'dashpot-bench-load-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it(`${LINES} lines from a pseudo-terminal are all recorded, in bounded memory, though the host stalls for 3 s in between`, async () => {
  const device = await floodDevice(root, folder, LINES, false);
  const logbook = openLogbook(join(folder, 'load.db'));
  const shock = logbook.createShock({ name: 'shock' });
  const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: 'build' });
  logbook.addCalibration(logbook.rigNamed('flood'), {
    force: { newton_per_count: 1e-5, zero_counts: 0 },
    position: { metre_per_count: 1e-9, zero_counts: 0 },
  });
  const link = await openRigLink({ path: device.path });
  const duration_s = floodDuration_s(LINES);
  const atStart_bytes = process.memoryUsage.rss();
  let most_bytes = 0;
  let looks = 0;
  let hasStalled = false;
  const outcome = await recordBuild({
    link,
    logbook,
    buildId,
    procedure: capture('unknown', duration_s),
    onProgress: ({ elapsed_s }) => {
      if (++looks % 100 === 0) most_bytes = Math.max(most_bytes, process.memoryUsage.rss());
      if (hasStalled || elapsed_s < duration_s / 2) return;
      hasStalled = true;
      // Nothing of this process runs meanwhile: no timer, no read.
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, STALL_MS);
    },
  });
  await link.close();
  device.kill();
  await device.ended;
  expect(outcome).toMatchObject({
    state: 'complete',
    failure: null,
    samples: { force: LINES / 2, position: LINES / 2 },
    statistics: { linesMissing: 0, linesDuplicated: 0, linesSkipped: {}, bytesFlooded: 0 },
  });
  expect(hasStalled).toBe(true);
  expect(most_bytes - atStart_bytes).toBeLessThan(MOST_GROWTH_BYTES);

  for (const [first, channel] of logbook.readChannels(outcome.recordingId).entries()) {
    if (!('counts' in channel)) throw new Error('a recorded channel holds counts');
    expect(channel.counts).toHaveLength(LINES / 2);
    let wrong = 0;
    for (let i = 0; i < channel.counts.length; i++) {
      const isRight =
        channel.counts[i] === sampleCounts(2 * i + first) &&
        channel.deviceTimes_us[i]! - channel.deviceTimes_us[0]! === 2500 * i;
      if (!isRight) wrong++;
    }
    expect(wrong).toBe(0);
  }
  logbook.close();
}, 600_000);
