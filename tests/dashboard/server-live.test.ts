import { describe, expect, it } from 'vitest';
import { createLiveHub, type LiveReader } from '../../dashboard/server/live-hub.js';

const batch = (time_s: number) => ({
  force: { time_s: [time_s], force_N: [1] },
  position: { time_s: [], position_m: [] },
});

function reader() {
  const received: string[] = [];
  const state = { isFull: false };
  const events = () =>
    received.map((text) => {
      const [, id, name, data] = /^(?:id: (.*)\n)?event: (.*)\ndata: (.*)\n\n$/.exec(text)!;
      return { id, name, data: JSON.parse(data!) as unknown };
    });
  const port: LiveReader = { write: (text) => received.push(text), isFull: () => state.isFull };
  return { port, state, events, names: () => events().map(({ name }) => name) };
}

describe('the live stream', () => {
  it('brings every event to every reader, in order and with an id', () => {
    const hub = createLiveHub('run');
    const [one, two] = [reader(), reader()];
    hub.subscribe(one.port);
    hub.subscribe(two.port);
    hub.publish('samples', batch(1));
    hub.publish('logbook', { reason: 'a recording ended' });
    expect(one.events()).toEqual([
      { id: 'run-1', name: 'samples', data: batch(1) },
      { id: 'run-2', name: 'logbook', data: { reason: 'a recording ended' } },
    ]);
    expect(two.events()).toEqual(one.events());
  });

  it('lets a slow reader miss samples, tells it how many, and goes on with the newest', () => {
    const hub = createLiveHub('run');
    const slow = reader();
    hub.subscribe(slow.port);
    hub.publish('samples', batch(1));
    slow.state.isFull = true;
    for (const time_s of [2, 3, 4]) hub.publish('samples', batch(time_s));
    slow.state.isFull = false;
    hub.publish('samples', batch(5));
    expect(slow.events().map(({ name, data }) => ({ name, data }))).toEqual([
      { name: 'samples', data: batch(1) },
      { name: 'skipped', data: { batches: 3 } },
      { name: 'samples', data: batch(5) },
    ]);
  });

  it('never lets a slow reader miss anything else', () => {
    const hub = createLiveHub('run');
    const slow = reader();
    hub.subscribe(slow.port);
    slow.state.isFull = true;
    hub.publish('session', { phase: 'idle' });
    expect(slow.names()).toEqual(['session']);
  });

  it('gives a reader that comes back what it missed', () => {
    const hub = createLiveHub('run');
    const gone = reader();
    const leave = hub.subscribe(gone.port);
    hub.publish('samples', batch(1));
    leave();
    hub.publish('samples', batch(2));
    hub.publish('samples', batch(3));
    const back = reader();
    hub.subscribe(back.port, gone.events().at(-1)!.id);
    expect(back.events().map(({ id }) => id)).toEqual(['run-2', 'run-3']);
    expect(gone.events()).toHaveLength(1);
  });

  it('says how much is no longer kept', () => {
    const hub = createLiveHub('run', 2);
    for (const time_s of [1, 2, 3, 4, 5]) hub.publish('samples', batch(time_s));
    const back = reader();
    hub.subscribe(back.port, 'run-1');
    expect(back.events().map(({ name, data }) => ({ name, data }))).toEqual([
      { name: 'skipped', data: { batches: 2 } },
      { name: 'samples', data: batch(4) },
      { name: 'samples', data: batch(5) },
    ]);
  });

  it.each(['other-1', 'run-x', '', 'run', 'run-99999999999999999999'])(
    'starts afresh for the foreign or broken id "%s"',
    (id) => {
      const hub = createLiveHub('run');
      hub.publish('samples', batch(1));
      const back = reader();
      hub.subscribe(back.port, id);
      expect(back.events()).toEqual([]);
    },
  );

  it('forgets readers that left', () => {
    const hub = createLiveHub('run');
    const leave = hub.subscribe(reader().port);
    expect(hub.readers).toBe(1);
    leave();
    expect(hub.readers).toBe(0);
  });
});
