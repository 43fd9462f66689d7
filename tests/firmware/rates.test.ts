import { describe, expect, it } from 'vitest';
import { conversation } from './machine/conversation.js';
import { setDeviceClock } from './machine/device-clock.js';
import { type Load, provenLoads } from './proven-loads.js';

/** Samples for some seconds, with times of ten digits, which make the longest lines. */
function runLoaded({ program, baud, force_Hz, position_Hz }: Load, time_s: number) {
  const talk = conversation({ program, seed: 1, converter: { rate_Hz: force_Hz } });
  talk.board.baudRate = baud;
  talk.listen(0.05);
  setDeviceClock(talk.board, 3e9);
  expect(talk.ask({ type: 'rate', tag: 1, kind: 'position', rate_mHz: position_Hz * 1000 }).type).toBe(
    'reply',
  );
  expect(talk.ask({ type: 'start', tag: 2 }).type).toBe('reply');
  talk.listen(time_s);
  const answer = talk.ask({ type: 'stop', tag: 3 });
  talk.listen(0.2);
  const sequences = talk.frames.map(({ sequence }) => sequence);
  const missing = sequences.at(-1)! + 1 - sequences.length;
  const told = talk
    .events()
    .filter(({ event }) => event === 'overrun')
    .reduce((sum, { value }) => sum + value, 0);
  return { talk, missing, told, dropped: answer.type === 'reply' ? Number(answer.fields[0]) : null };
}

describe('the highest rates of the table', () => {
  it.each(provenLoads)(
    '$baud baud: $force_Hz forces and $position_Hz positions a second, no line lost or damaged',
    (load) => {
      const { talk, missing, told, dropped } = runLoaded(load, 2);
      expect({ missing, told, dropped, skipped: talk.skipped }).toEqual({
        missing: 0,
        told: 0,
        dropped: 0,
        skipped: ['empty'],
      });
      expect(Math.abs(talk.samples('force').length - 2 * load.force_Hz)).toBeLessThanOrEqual(2);
      expect(Math.abs(talk.samples('position').length - 2 * load.position_Hz)).toBeLessThanOrEqual(2);
      expect(talk.board.converter.account).toMatchObject({ powerDowns: 0, unread: 0, collided: 0 });
      // A clock pulse of 0.2 to 50 µs is what the converter allows.
      expect(talk.board.converter.account.longestHigh_cycles).toBeLessThanOrEqual(8);
    },
  );
});

describe('asked for more than the wire carries', () => {
  const load = { program: 'slide', baud: 250_000, force_Hz: 80, position_Hz: 1000 };

  it('the device drops whole samples, counts each, and tells how many', () => {
    const { talk, missing, told, dropped } = runLoaded(load, 2);
    expect(dropped).toBeGreaterThan(100);
    expect(missing).toBe(dropped);
    expect(told).toBe(dropped);
    expect(talk.skipped).toEqual(['empty']);
  });

  it('it still answers at once, and what it answers is whole', () => {
    const talk = conversation({ program: 'slide', seed: 1 });
    talk.listen(0.05);
    setDeviceClock(talk.board, 3e9);
    talk.ask({ type: 'rate', tag: 1, kind: 'position', rate_mHz: 1_000_000 });
    talk.ask({ type: 'start', tag: 2 });
    talk.listen(0.5);
    for (let tag = 10; tag < 30; tag++) {
      const asked_s = talk.board.time_s;
      const from = talk.frames.length;
      expect(talk.ask({ type: 'identify', tag })).toMatchObject({ type: 'reply', command: 'identify', tag });
      expect(talk.board.time_s - asked_s).toBeLessThan(0.05);
      const whole = talk.frames.slice(from).filter(({ type }) => type === 'identity' || type === 'channel');
      expect(whole).toHaveLength(3);
      talk.listen(0.02);
    }
    expect(talk.skipped).toEqual(['empty']);
  });
});

describe('memory', () => {
  it('is never written by the stack and the variables both: there is room between at the deepest', () => {
    const talk = conversation({ program: 'drive-angle', seed: 1 });
    talk.listen(0.05);
    talk.ask({ type: 'rate', tag: 1, kind: 'position', rate_mHz: 700_000 });
    talk.ask({ type: 'start', tag: 2 });
    talk.ask({ type: 'drive', tag: 3, speed_mHz: 4000 });
    for (let i = 0; i < 10; i++) {
      talk.tell({ type: 'identify', tag: 4 });
      talk.tell({ type: 'beat', tag: 5 });
      talk.listen(0.1);
    }
    talk.board.press('stop', true);
    talk.listen(0.1);
    // Memory was 0xA5 at power-on: the longest stretch of it is what nothing ever touched.
    const { data } = talk.board.chip.cpu;
    let untouched = 0;
    for (let at = 0x100, length = 0; at < data.length; at++) {
      length = data[at] === 0xa5 ? length + 1 : 0;
      untouched = Math.max(untouched, length);
    }
    expect(untouched).toBeGreaterThan(600);
  });
});
