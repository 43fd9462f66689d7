import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { StartedBody, StartRecordingBody } from '../../dashboard/server/api.js';
import { type LiveEvent, openLive } from './live-events.js';
import { type Bench, openBench } from './server-fixture.js';

const driven: StartRecordingBody = {
  rig: { kind: 'practice', build: 'draggy-seal' },
  build: { kind: 'new', name: 'as it came', shock: 'front left', parentId: null, change: '' },
  procedure: 'speed-ladder',
  cautionsRead: false,
};

const isPhase = (phase: string) => (event: LiveEvent) =>
  event.name === 'session' && event.data.phase === phase;

let now_ms = 0;
let bench: Bench;
beforeEach(() => {
  now_ms = 0;
  bench = openBench({ clock: { now_ms: () => now_ms, after: () => () => {} } });
});
afterEach(() => bench.close());

const renew = (lease: unknown) => bench.post('/api/recordings/current/lease', { lease });

describe('a drive started from a page', () => {
  it('runs while that page renews its lease', async () => {
    const live = await openLive(bench);
    const { lease } = (await bench.post('/api/recordings', driven)).body as StartedBody;
    for (let renewals = 0; renewals < 5; renewals++) {
      now_ms += 900;
      expect(await renew(lease)).toMatchObject({ status: 200, body: { rig: 'the practice rig' } });
      live.seen.length = 0;
      await live.until(({ name }) => name === 'samples');
    }
    const done = await live.until(isPhase('done'));
    expect(done.data).toMatchObject({ state: 'complete', trouble: null });
    live.leave();
  });

  it('is halted when the page falls silent for a second, and what was captured is kept', async () => {
    const live = await openLive(bench);
    await bench.post('/api/recordings', driven);
    await live.until(({ name }) => name === 'samples');
    now_ms = 1001;
    const done = await live.until(isPhase('done'));
    expect(done.data).toMatchObject({ state: 'interrupted', trouble: { code: 'drive-abandoned' } });
    const [recording] = bench.logbook.listRecordings();
    expect(recording).toMatchObject({ state: 'interrupted' });
    expect(recording!.stateReason).toMatch(/nobody holding the drive/);
    expect(recording!.procedure.happened.at(-1)!.end_s).toBeLessThan(24);
    live.leave();
  });

  it('is not taken over by another page, nor won back by one that was away', async () => {
    const live = await openLive(bench);
    const { lease } = (await bench.post('/api/recordings', driven)).body as StartedBody;
    expect(await renew('someone else')).toMatchObject({ status: 409, body: { code: 'not-the-holder' } });
    now_ms = 1500;
    expect(await renew(lease)).toMatchObject({ status: 409, body: { code: 'lease-lost' } });
    await live.until(isPhase('done'));
    // What comes too late is told how things stand, and holds nothing.
    expect(await renew(lease)).toMatchObject({ status: 200, body: { phase: 'done' } });
    live.leave();
  });

  it('tells the lease to that page alone', async () => {
    const live = await openLive(bench);
    const { lease } = (await bench.post('/api/recordings', driven)).body as StartedBody;
    expect(lease).toMatch(/^[0-9a-f-]{36}$/);
    await live.until(isPhase('done'));
    const told = JSON.stringify(live.seen) + (await bench.get('/api/state')).text;
    expect(told).not.toContain(lease);
    live.leave();
  });
});

describe('someone on another machine', () => {
  const start = (remoteAddress: string, headers: Record<string, string> = {}) =>
    bench.server.inject({
      method: 'POST',
      url: '/api/recordings',
      payload: driven,
      remoteAddress,
      headers: { host: '127.0.0.1', ...headers },
    });

  it('cannot start a drive, directly or through something that passes requests on', async () => {
    for (const [address, headers] of [
      ['192.168.1.20', {}],
      ['::ffff:10.0.0.7', {}],
      ['fe80::1', {}],
      ['127.0.0.1', { 'x-forwarded-for': '192.168.1.20' }],
      ['127.0.0.1', { forwarded: 'for=192.168.1.20' }],
      ['127.0.0.1', { via: '1.1 relay' }],
    ] as const) {
      const answer = await start(address, headers);
      expect([answer.statusCode, answer.json().code]).toEqual([403, 'not-at-the-rig']);
    }
    expect(bench.logbook.listBuilds()).toEqual([]);
  });

  it('while this machine can, by any of its loopback addresses', async () => {
    for (const address of ['127.0.0.1', '::1', '::ffff:127.0.0.1']) {
      expect((await start(address)).statusCode).not.toBe(403);
    }
    await bench.post('/api/recordings/current/stop');
  });
});
