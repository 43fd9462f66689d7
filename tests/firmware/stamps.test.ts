import { describe, expect, it } from 'vitest';
import { frequency_Hz } from './machine/chip.js';
import { conversation } from './machine/conversation.js';
import { setDeviceClock } from './machine/device-clock.js';

const CYCLES_PER_US = frequency_Hz / 1e6;
const TIFR1 = 0x36;
const TOV1 = 0x01;

type Talk = ReturnType<typeof conversation>;

/** A sample's error: its stamp less the edge of the conversion that it came from, whose counts it must have. */
function stampErrors(talk: Talk, samples = talk.samples('force')): number[] {
  const { history } = talk.board.converter;
  return samples.map(({ deviceTime_us, counts }) => {
    // The clock starts with the program, half a millisecond after power-on at most.
    const end = history.find(({ cycle }) => Math.abs(deviceTime_us - cycle / CYCLES_PER_US) < 500);
    expect(counts).toBe(end?.counts);
    return deviceTime_us - end!.cycle / CYCLES_PER_US;
  });
}

const spread = (values: readonly number[]) => Math.max(...values) - Math.min(...values);

describe('force stamps', () => {
  it('are the edge of the converter, to a microsecond, whatever else the controller does', () => {
    const talk = conversation({ program: 'slide', seed: 2, converter: { rate_Hz: 83.7 } });
    talk.listen(0.02);
    talk.ask({ type: 'rate', tag: 1, kind: 'position', rate_mHz: 500_000 });
    talk.ask({ type: 'start', tag: 2 });
    for (let i = 0; i < 30; i++) {
      talk.tell({ type: 'tare', tag: 3 });
      talk.listen(0.1);
    }
    const errors = stampErrors(talk);
    expect(errors.length).toBeGreaterThan(248);
    expect(spread(errors)).toBeLessThan(1.1);
    expect(talk.board.converter.account).toMatchObject({ powerDowns: 0, unread: 0, collided: 0 });
  });

  it('are right to the cycle through an overflow of the timer, wherever the edge falls', () => {
    const talk = conversation({ program: 'slide', seed: 1 });
    talk.listen(0.05);
    talk.ask({ type: 'rate', tag: 1, kind: 'position', rate_mHz: 300_000 });
    talk.ask({ type: 'start', tag: 2 });
    talk.listen(0.1);
    const offset_us = stampErrors(talk)[0]!;

    // One conversion for each overflow, an eighth of a tick later each time, from a little before to a little after it.
    const overflow_cycles = 32_768 * CYCLES_PER_US;
    let shift = -214;
    talk.board.converter.nextEnd = (cycle) => {
      const overflowed =
        (Math.ceil((cycle / CYCLES_PER_US + offset_us) / 32_768) - offset_us / 32_768) * overflow_cycles;
      const next = Math.round(overflowed) + shift++;
      return next > cycle + overflow_cycles / 2 ? next : next + overflow_cycles;
    };
    let sawOverflowPending = 0;
    const { cpu } = talk.board.chip;
    cpu.readHooks[TIFR1] = () => {
      if (cpu.data[TIFR1]! & TOV1) sawOverflowPending++;
      return cpu.data[TIFR1]!;
    };
    const before = talk.samples('force').length;
    while (shift < 214) talk.listen(0.1);
    talk.listen(0.05);

    const errors = stampErrors(talk, talk.samples('force').slice(before));
    expect(errors.length).toBeGreaterThan(425);
    expect(spread(errors)).toBeLessThan(1.1);
    // The sweep has met what it is for: a capture while the overflow was still to be counted.
    expect(sawOverflowPending).toBeGreaterThan(20);
  });

  it('go on through the wrap of the 32-bit clock after 71.6 minutes', () => {
    const talk = conversation({ program: 'slide', seed: 1 });
    talk.listen(0.05);
    setDeviceClock(talk.board, 2 ** 32 - 1e6);
    talk.ask({ type: 'start', tag: 1 });
    talk.listen(2);
    const times = talk.samples('force').map(({ deviceTime_us }) => deviceTime_us);
    expect(times[0]).toBeGreaterThan(2 ** 32 - 1.1e6);
    expect(times.at(-1)).toBeLessThan(1.1e6);
    const steps = times.slice(1).map((time, i) => (time - times[i]!) >>> 0);
    for (const step of steps) expect(Math.abs(step - 12_500)).toBeLessThanOrEqual(1);
    const positions = talk.samples('position').map(({ deviceTime_us }) => deviceTime_us);
    for (const [i, time] of positions.slice(1).entries())
      expect(Math.abs(((time - positions[i]!) >>> 0) - 2500)).toBeLessThan(30);
  });
});

describe('position stamps', () => {
  it.each([
    ['at 400 a second', 'slide', 250_000, 400],
    [
      'at 1000 a second, each begun a tenth of a millisecond after the one before',
      'slide-500000',
      500_000,
      1000,
    ],
  ])(
    'less the declared delay are the mean instant of the 16 looks at the slide, %s',
    (_how, program, baud, rate_Hz) => {
      const looks_us: number[] = [];
      const talk = conversation({
        program,
        seed: 4,
        onSlideReading: (time_s) => looks_us.push(time_s * 1e6),
      });
      talk.board.baudRate = baud;
      talk.listen(0.02);
      talk.ask({ type: 'identify', tag: 1 });
      const channel = talk.frames.find((frame) => frame.type === 'channel' && frame.kind === 'position');
      if (channel?.type !== 'channel') throw new Error('no position channel');
      talk.ask({ type: 'rate', tag: 2, kind: 'position', rate_mHz: rate_Hz * 1000 });
      looks_us.length = 0;
      talk.ask({ type: 'start', tag: 3 });
      talk.listen(2);
      const offset_us = stampErrors(talk).at(-1)!;
      const errors = talk.samples('position').map(({ deviceTime_us }, i) => {
        const looks = looks_us.slice(16 * i, 16 * (i + 1));
        const mean_us = looks.reduce((sum, look) => sum + look, 0) / looks.length;
        return deviceTime_us - channel.delay_us - offset_us - mean_us;
      });
      expect(errors.length).toBeGreaterThan(1.98 * rate_Hz);
      expect(Math.max(...errors.map(Math.abs))).toBeLessThan(12);
      const mean = errors.reduce((sum, error) => sum + error, 0) / errors.length;
      expect(Math.abs(mean)).toBeLessThan(2);
    },
  );

  it('are the instant at which the angle sensor latches, to 2 microseconds', () => {
    const talk = conversation({ program: 'angle-1000', seed: 4, converter: { rate_Hz: 1000 } });
    talk.board.baudRate = 500_000;
    const latches_us: number[] = [];
    const { angleSensor, chip } = talk.board;
    const read = angleSensor.read;
    angleSensor.read = () => {
      latches_us.push(chip.cpu.cycles / CYCLES_PER_US);
      return read.call(angleSensor);
    };
    talk.listen(0.05);
    latches_us.length = 0;
    talk.ask({ type: 'start', tag: 1 });
    talk.listen(1);
    const offset_us = stampErrors(talk).at(-1)!;
    // Two bytes a reading; the first latches.
    const errors = talk
      .samples('position')
      .map(({ deviceTime_us }, i) => deviceTime_us - offset_us - latches_us[2 * i]!);
    expect(errors.length).toBeGreaterThan(395);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(2);
  });

  it('belong to counts that go on past a full turn of the angle, forwards and back', () => {
    const talk = conversation({ program: 'drive-angle', seed: 1 });
    talk.listen(0.05);
    // The filter was set, the maker's own bits kept.
    expect(talk.board.angleSensor.settings).toBe(0xa3);
    talk.ask({ type: 'start', tag: 1 });
    talk.ask({ type: 'drive', tag: 2, speed_mHz: 4000 });
    for (let i = 0; i < 8; i++) {
      talk.tell({ type: 'beat', tag: 3 });
      talk.listen(0.25);
    }
    const counts = talk.samples('position').map((sample) => sample.counts);
    const turned = talk.board.shock.angle_rad / (2 * Math.PI);
    expect(turned).toBeGreaterThan(5);
    for (const [i, count] of counts.slice(1).entries()) expect(Math.abs(count - counts[i]!)).toBeLessThan(60);
    expect(counts.at(-1)! / 4096).toBeCloseTo(turned + 300 / 4096, 1);
  });

  it('stop when the sensor is taken off the bus, and come again with it', () => {
    const talk = conversation({ program: 'drive-angle', seed: 1 });
    talk.listen(0.05);
    talk.ask({ type: 'start', tag: 1 });
    talk.listen(0.2);
    talk.board.angleSensor.address = 0x11;
    talk.listen(0.05);
    const before = talk.samples('position').length;
    talk.listen(0.5);
    expect(talk.samples('position').length).toBe(before);
    expect(talk.samples('force').length).toBeGreaterThan(50);
    talk.board.angleSensor.address = 0x36;
    talk.listen(0.2);
    expect(talk.samples('position').length).toBeGreaterThan(before + 75);
  });
});
