import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type BuildId, capture, type Logbook, openLogbook, type RecordingId } from '../../daq/index.js';
import type { BuildsBody } from '../../dashboard/server/api.js';
import { openLive } from './live-events.js';
import { type Bench, enterTwoBuilds, openBench } from './server-fixture.js';

/** A second passes when the test says so. */
let due: (() => void)[] = [];
const aSecondPasses = () => {
  for (const run of due.splice(0)) run();
};

let bench: Bench;
/** The command line at the same logbook, in its own opening of it. */
let command: Logbook;
let builds: ReturnType<typeof enterTwoBuilds>;
let tabs: Awaited<ReturnType<typeof openLive>>[];

beforeEach(async () => {
  due = [];
  const after = (_delay_ms: number, run: () => void) => {
    due.push(run);
    return () => {
      due = due.filter((other) => other !== run);
    };
  };
  bench = openBench({ clock: { now_ms: () => 0, after } });
  builds = enterTwoBuilds(bench.logbook);
  command = openLogbook(bench.logbook.path);
  tabs = [await openLive(bench), await openLive(bench)];
  for (const tab of tabs) await tab.until(({ name }) => name === 'session');
});
afterEach(async () => {
  for (const tab of tabs) tab.leave();
  command.close();
  await bench.close();
});

const recordings = async () =>
  ((await bench.get('/api/builds')).body as BuildsBody).builds.flatMap((build) => build.recordings);
const stateOf = async (id: number) => (await recordings()).find((recording) => recording.id === id)?.state;
const told = (wanted: string) =>
  Promise.all(tabs.map((tab) => tab.until(({ name, data }) => name === 'logbook' && data.reason === wanted)));

function begin(logbook: Logbook, buildId: BuildId): RecordingId {
  const rigId = logbook.rigNamed('a rig');
  const calibrationId = logbook.addCalibration(rigId, {
    force: { newton_per_count: 1e-3, zero_counts: 0 },
    position: { metre_per_count: 1e-6, zero_counts: 0 },
  }).id;
  return logbook.startRecording({
    buildId,
    rigId,
    calibrationId,
    identity: null,
    simulated: false,
    procedure: { ...capture('speed-ladder', null), happened: [], events: [] },
    startedAt: '2026-01-02T03:04:05.000Z',
  });
}

describe('two tabs and a recording at the command line', () => {
  it('show it as it begins, refuse its analysis while it is made, and analyse it when it has ended', async () => {
    const id = begin(command, builds.after.id);
    aSecondPasses();
    await told('another program wrote to it');
    expect(await stateOf(id)).toBe('recording');
    expect((await bench.get(`/api/recordings/${id}/analysis`)).body).toMatchObject({
      code: 'still-recording',
    });
    const compare = `/api/compare?before=${builds.before.id}&after=${builds.after.id}`;
    expect((await bench.get(compare)).body).toMatchObject({
      after: { recordingIds: builds.after.recordings },
    });

    command.finishRecording(id, { state: 'complete' });
    for (const tab of tabs) tab.seen.length = 0;
    aSecondPasses();
    await told('another program wrote to it');
    expect(await stateOf(id)).toBe('complete');
    expect((await bench.get(compare)).body).toMatchObject({
      after: { recordingIds: [...builds.after.recordings, id] },
    });
  });

  it('are told of what one tab does, and so is the command line', async () => {
    const [id] = builds.before.recordings;
    await bench.post(`/api/recordings/${id}/discard`, { reason: 'loose mount' });
    await told('a recording was discarded');
    expect(await stateOf(id!)).toBe('discarded');
    expect(command.findRecording(id!)).toMatchObject({ state: 'discarded', stateReason: 'loose mount' });
  });

  it('write at once without losing anything of either', async () => {
    const id = begin(command, builds.after.id);
    for (const discarded of builds.before.recordings) {
      const written = bench.post(`/api/recordings/${discarded}/discard`, { reason: 'loose mount' });
      command.appendBlocks(id, [
        { kind: 'force', unit: 'N', times_s: Float64Array.of(discarded), values: Float64Array.of(1) },
      ]);
      expect((await written).status).toBe(204);
    }
    command.finishRecording(id, { state: 'complete' });
    for (const discarded of builds.before.recordings) expect(await stateOf(discarded)).toBe('discarded');
    expect(bench.logbook.readChannels(id)).toMatchObject([
      { times_s: Float64Array.from(builds.before.recordings) },
    ]);
  });

  it('are not told of anything when nobody else wrote', async () => {
    bench.logbook.createShock({ name: 'written by the server itself' });
    aSecondPasses();
    command.createShock({ name: 'written by another' });
    aSecondPasses();
    await told('another program wrote to it');
    for (const tab of tabs) expect(tab.seen.filter(({ name }) => name === 'logbook')).toHaveLength(1);
  });
});
