import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { reopenRigLink } from '../../daq/link/reopen-rig-link.js';
import { openRigLink } from '../../daq/link/rig-link.js';
import { type Logbook, openLogbook } from '../../daq/logbook/open-logbook.js';
import { capture, remainingProcedure, speedLadder } from '../../daq/procedures.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import { type SimulatedFault, simulatedRig, simulatedRigCalibration } from '../../daq/simulated-rig/index.js';
import { scriptedRig } from './scripted-rig.js';

let folder: string;
let logbook: Logbook;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'segments-'));
  logbook = openLogbook(join(folder, 'log.db'));
});
afterEach(() => {
  logbook.close();
  rmSync(folder, { recursive: true });
});

async function bench(fault: SimulatedFault) {
  const rig = simulatedRig({ seed: 3, build: 'low-drag-seal', pace: 'simulated', faults: [fault] });
  const options = { path: rig.path, binding: rig.binding, clock: rig.clock };
  const link = await openRigLink(options);
  const { rigName } = link.identity();
  logbook.addCalibration(logbook.rigNamed(rigName), simulatedRigCalibration);
  const shock = logbook.createShock({ name: 'test piece' });
  const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: 'as found' });
  return { rig, options, link, rigName, buildId };
}

const ladder = speedLadder([
  { speed_rev_per_s: 0.4, duration_s: 2 },
  { speed_rev_per_s: 0.8, duration_s: 2 },
  { speed_rev_per_s: 1.6, duration_s: 1 },
]);

describe('a recording whose plug was pulled', () => {
  it('is closed as interrupted, and goes on as a new segment of the same mounting from the step it was in', async () => {
    const { rig, options, link, rigName, buildId } = await bench({ kind: 'unplug', at_s: 3, for_s: 4 });
    const first = await recordBuild({ link, logbook, buildId, procedure: ladder });
    await link.close();
    expect(first).toMatchObject({ state: 'interrupted', failure: { code: 'port-failed' } });
    const interrupted = logbook.findRecording(first.recordingId)!;
    expect(interrupted).toMatchObject({ state: 'interrupted', continues: null, remount: 1 });
    expect(interrupted.stateReason).toMatch(/port closed/);
    expect(interrupted.procedure.happened).toHaveLength(2);

    const back = await reopenRigLink(options, rigName, 30);
    expect(rig.commanded_rev_per_s).toBe(0);
    const rest = remainingProcedure(interrupted.procedure);
    expect(rest.steps).toEqual(ladder.steps.slice(1));
    const second = await recordBuild({
      link: back,
      logbook,
      buildId,
      procedure: rest,
      continues: first.recordingId,
    });
    await back.close();
    expect(second).toMatchObject({ state: 'complete', failure: null });
    expect(logbook.findRecording(second.recordingId)).toMatchObject({
      continues: first.recordingId,
      remount: 1,
    });
    const next = await openRigLink(options);
    const third = await recordBuild({ link: next, logbook, buildId, procedure: capture('unknown', 1) });
    await next.close();
    expect(logbook.findRecording(third.recordingId)).toMatchObject({ continues: null, remount: 2 });
  });

  it('is given up when the rig does not come back in time', async () => {
    const { options, link, rigName, buildId, rig } = await bench({ kind: 'unplug', at_s: 1, for_s: 60 });
    await recordBuild({ link, logbook, buildId, procedure: capture('unknown', 5) });
    await link.close();
    const from_ms = rig.clock.now_ms();
    await expect(reopenRigLink(options, rigName, 10)).rejects.toMatchObject({ code: 'port-missing' });
    expect((rig.clock.now_ms() - from_ms) / 1000).toBeLessThan(12);
  });

  it('does not go on with another rig', async () => {
    const { options, link } = await bench({ kind: 'unplug', at_s: 1, for_s: 1 });
    await link.close();
    await expect(reopenRigLink(options, 'somebody else', 10)).rejects.toMatchObject({ code: 'rig-other' });
  });

  it('goes on only from an interrupted recording of the same build', async () => {
    const { link, buildId } = await bench({ kind: 'unplug', at_s: 100, for_s: 1 });
    const { recordingId } = await recordBuild({ link, logbook, buildId, procedure: capture('unknown', 1) });
    const again = { link, logbook, buildId, procedure: capture('unknown', 1) };
    await expect(recordBuild({ ...again, continues: recordingId })).rejects.toMatchObject({
      code: 'wrong-state',
    });
    await expect(recordBuild({ ...again, continues: 99 as typeof recordingId })).rejects.toMatchObject({
      code: 'unknown-name',
    });
    await link.close();
  });
});

it('a rig whose clock begins anew is noticed even when nothing else says so', async () => {
  let back_us = 0;
  const rig = scriptedRig({
    startTime_us: 50_000_000,
    onWire: (bytes, frame) => {
      if (frame.type === 'sample' && frame.deviceTime_us > 52_000_000) back_us = 51_900_000;
      return bytes;
    },
  });
  const link = await openRigLink(rig);
  logbook.addCalibration(logbook.rigNamed('scripted'), simulatedRigCalibration);
  const shock = logbook.createShock({ name: 'test piece' });
  const { id: buildId } = logbook.createBuild({ shockId: shock.id, name: 'as found' });
  const outcome = await recordBuild({
    link,
    logbook,
    buildId,
    procedure: capture('unknown', 30),
    onProgress: () => {
      if (back_us > 0) rig.send({ type: 'sample', kind: 'force', deviceTime_us: 100_000, counts: 1 });
    },
  });
  expect(outcome).toMatchObject({ state: 'interrupted', failure: { code: 'rig-restarted' } });
  expect(outcome.elapsed_s).toBeLessThan(3);
  await link.close();
});
