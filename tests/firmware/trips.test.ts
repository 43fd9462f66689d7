import { describe, expect, it } from 'vitest';
import type { EventName } from '../../firmware-protocol/index.js';
import { frequency_Hz } from './machine/chip.js';
import { type Conversation, conversation } from './machine/conversation.js';
import type { BoardOptions } from './machine/simulated-board.js';

/** A rig whose drive has been turning for a second, with the heartbeats that it needs. */
function turning(options: Partial<BoardOptions> = {}, speed_mHz = 2000): Conversation {
  const talk = conversation({ program: 'drive', seed: 5, ...options });
  talk.listen(0.1);
  talk.ask({ type: 'start', tag: 1 });
  expect(talk.ask({ type: 'drive', tag: 2, speed_mHz })).toMatchObject({ type: 'reply', command: 'drive' });
  beatFor(talk, 1);
  expect(talk.board.motor.power).toBeGreaterThan(0);
  return talk;
}

function beatFor(talk: Conversation, time_s: number) {
  for (let passed = 0; passed < time_s; passed += 0.25) {
    talk.tell({ type: 'beat', tag: 3 });
    talk.listen(Math.min(0.25, time_s - passed));
  }
}

/** Someone holds the re-arm button. */
function rearm(talk: Conversation) {
  talk.board.press('rearm', true);
  talk.listen(0.06);
  talk.board.press('rearm', false);
  talk.listen(0.01);
}

/** When the motor lost its power for good. */
function stopped_s(talk: Conversation): number {
  expect(talk.board.motor.power).toBe(0);
  return talk.board.motor.changes.at(-1)!.cycle / frequency_Hz;
}

const conversion_s = 1 / 80;
const drive = { type: 'drive', tag: 9, speed_mHz: 1000 } as const;
const tripped = { type: 'refusal', command: 'drive', code: 'tripped' };

interface Mishap {
  readonly what: string;
  readonly event: EventName;
  readonly value: number | 'counts';
  readonly befall: (talk: Conversation) => void;
  /** From the mishap to the first conversion, or look, that can show it. */
  readonly shownAfter_s?: number;
}

const mishaps: readonly Mishap[] = [
  {
    what: 'the stop button',
    event: 'operator-stop',
    value: 0,
    befall: ({ board }) => board.press('stop', true),
  },
  { what: 'an end switch', event: 'end-switch', value: 1, befall: ({ board }) => board.press('end-1', true) },
  {
    what: 'the other end switch',
    event: 'end-switch',
    value: 2,
    befall: ({ board }) => board.press('end-2', true),
  },
  {
    what: 'too much load',
    event: 'overload',
    value: 'counts',
    // The converter averages over four conversions, so a sudden load is half there after two.
    shownAfter_s: 2 * conversion_s,
    befall({ board }) {
      board.shock.push_N = 110;
    },
  },
  {
    what: 'too much load the other way',
    event: 'overload',
    value: 'counts',
    shownAfter_s: 2 * conversion_s,
    befall({ board }) {
      board.shock.push_N = -130;
    },
  },
  {
    what: 'three conversions that do not come',
    event: 'sensor-fault',
    value: 1,
    shownAfter_s: 3 * conversion_s,
    befall({ board }) {
      board.converter.fault = 'silent';
    },
  },
  {
    what: 'sixteen conversions alike',
    event: 'sensor-fault',
    value: 2,
    shownAfter_s: 15 * conversion_s,
    befall({ board }) {
      board.converter.fault = 'stuck';
    },
  },
  {
    what: 'a converter at its limit',
    event: 'sensor-fault',
    value: 3,
    befall({ board }) {
      board.converter.fault = 'saturated';
    },
  },
];

describe('the drive is stopped, within one conversion of what shows it, by', () => {
  it.each(mishaps)('$what', ({ event, value, befall, shownAfter_s = 0 }) => {
    const talk = turning({ program: 'drive-angle' });
    const begun_s = talk.board.time_s;
    befall(talk);
    // A lost lease must not be what stops it.
    beatFor(talk, shownAfter_s + 3 * conversion_s);

    expect(stopped_s(talk) - begun_s).toBeGreaterThan(shownAfter_s - conversion_s);
    expect(stopped_s(talk) - begun_s).toBeLessThan(shownAfter_s + conversion_s);
    const told = talk.events().slice(1);
    expect(told).toMatchObject([{ event, value: value === 'counts' ? expect.any(Number) : value }]);
    if (value === 'counts') expect(Math.abs(told[0]!.value)).toBeGreaterThan(1_314_000);
    // Sampling goes on, and shows what happened.
    const before = talk.samples('position').length;
    talk.listen(0.1);
    expect(talk.samples('position').length).toBeGreaterThan(before + 35);

    expect(talk.ask(drive)).toMatchObject(tripped);
    expect(talk.board.motor.power).toBe(0);
  });

  it('a host that falls silent, when its lease ends', () => {
    const talk = turning();
    talk.tell({ type: 'beat', tag: 3 });
    const heard_s = talk.board.time_s;
    talk.listen(0.99);
    expect(talk.board.motor.power).toBeGreaterThan(0);
    talk.listen(0.1);
    expect(stopped_s(talk) - heard_s).toBeGreaterThan(0.99);
    expect(stopped_s(talk) - heard_s).toBeLessThan(1 + conversion_s);
    expect(talk.events().at(-1)).toMatchObject({ event: 'lease-lost', value: 1000 });
    talk.tell({ type: 'beat', tag: 4 });
    expect(talk.ask(drive)).toMatchObject(tripped);
  });

  it('all of it on a faster converter, too: too much load at 320 conversions a second', () => {
    const talk = turning({ program: 'drive-320', converter: { rate_Hz: 320 } });
    const begun_s = talk.board.time_s;
    talk.board.shock.push_N = 110;
    talk.listen(0.05);
    expect(stopped_s(talk) - begun_s).toBeLessThan(3 / 320);
  });
});

describe('re-arming', () => {
  it('takes a hand at the rig: released, then held for 50 ms, with nothing pressed any more', () => {
    const talk = turning();
    talk.board.press('stop', true);
    talk.listen(0.02);
    rearm(talk);
    expect(talk.ask(drive)).toMatchObject(tripped);
    talk.board.press('stop', false);
    talk.board.press('rearm', true);
    talk.listen(0.03);
    talk.board.press('rearm', false);
    talk.listen(0.03);
    expect(talk.ask(drive)).toMatchObject(tripped);
    rearm(talk);
    expect(talk.events().at(-1)).toMatchObject({ event: 'rearmed', value: 0 });
    expect(talk.ask(drive)).toMatchObject({ type: 'reply' });
  });

  it('is not done by a button that is stuck', () => {
    const talk = conversation({ program: 'drive', seed: 5 });
    talk.board.press('rearm', true);
    talk.board.press('stop', true);
    talk.listen(0.2);
    talk.board.press('stop', false);
    talk.listen(0.5);
    expect(talk.ask(drive)).toMatchObject(tripped);
  });

  it.each([
    ['the port being opened', (talk: Conversation) => talk.board.reset()],
    ['a hang and its watchdog', (talk: Conversation) => talk.board.hang()],
  ])('is not done by %s: a trip outlives resets', (_what, reset) => {
    const talk = turning({ bootLoader: true });
    talk.board.press('stop', true);
    talk.listen(0.02);
    talk.board.press('stop', false);
    const lives = talk.board.resets.length;
    reset(talk);
    talk.listen(1.6);
    expect(talk.board.resets.length).toBe(lives + 1);
    expect(talk.events().at(-1)).toMatchObject({ event: 'boot' });
    expect(talk.ask(drive)).toMatchObject(tripped);
    rearm(talk);
    expect(talk.ask(drive)).toMatchObject({ type: 'reply' });
  });

  it('is not needed after HALT or the end of a run, which are no trips', () => {
    const talk = turning();
    expect(talk.ask({ type: 'halt', tag: 4 })).toMatchObject({ type: 'reply', command: 'halt' });
    expect(talk.board.motor.power).toBe(0);
    expect(talk.ask({ type: 'stop', tag: 5 })).toMatchObject({ type: 'reply', command: 'stop' });
    expect(talk.ask(drive)).toMatchObject({ type: 'reply', command: 'drive' });
  });
});

describe('the drive', () => {
  it('stands still after power-on and at every reset', () => {
    const talk = conversation({ program: 'drive', seed: 5, bootLoader: true });
    talk.listen(0.5);
    expect(talk.board.motor.changes).toEqual([]);
    talk.ask(drive);
    talk.listen(0.5);
    expect(talk.board.motor.power).toBeGreaterThan(0);
    talk.board.reset();
    talk.listen(0.001);
    expect(talk.board.motor.power).toBe(0);
    talk.listen(2);
    expect(talk.board.motor.power).toBe(0);
  });

  it('is off 125 ms after the program hangs, when the watchdog strikes', () => {
    const talk = turning();
    const hung_s = talk.board.time_s;
    talk.board.hang();
    talk.listen(0.3);
    expect(stopped_s(talk) - hung_s).toBeLessThan(0.13);
    expect(talk.events().at(-1)).toMatchObject({ event: 'boot', value: 8 });
  });

  it('starts softly, in steps of at most 1/255, and comes to the speed asked for', () => {
    const talk = turning({}, 3000);
    const { changes } = talk.board.motor;
    expect(changes.length).toBeGreaterThan(180);
    for (const [i, { power }] of changes.entries())
      expect(power - (changes[i - 1]?.power ?? 0)).toBeLessThanOrEqual(1.01 / 255);
    expect(talk.board.shock.speed_rev_per_s).toBeGreaterThan(2.9);
    expect(talk.board.shock.speed_rev_per_s).toBeLessThan(3.05);
  });

  it('refuses what it cannot do, and goes on as before', () => {
    const talk = turning();
    const { power } = talk.board.motor;
    for (const speed_mHz of [0, 99, 4001, 2 ** 32 - 1])
      expect(talk.ask({ type: 'drive', tag: 6, speed_mHz })).toMatchObject({
        type: 'refusal',
        code: 'bad-argument',
      });
    expect(talk.board.motor.power).toBe(power);
    const bare = conversation({ program: 'slide', seed: 1 });
    bare.listen(0.05);
    expect(bare.ask(drive)).toMatchObject({ type: 'refusal', code: 'no-drive' });
    expect(bare.ask({ type: 'halt', tag: 1 })).toMatchObject({ type: 'reply' });
  });
});
