import { describe, expect, it } from 'vitest';
import { openRigLink } from '../../daq/link/rig-link.js';
import { capture } from '../../daq/procedures.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import { boardPort } from './machine/board-port.js';
import { frequency_Hz } from './machine/chip.js';
import { conversation } from './machine/conversation.js';
import type { SimulatedBoard } from './machine/simulated-board.js';
import { recordingBench } from './recording-bench.js';

/** Whatever the program does stops for a while in the next read, with the converter's clock high. */
function stallInRead({ chip, converter }: SimulatedBoard, pulse: number, stall_us: number) {
  const { clockRises } = converter;
  let pulses = 0;
  converter.clockRises = (cycle) => {
    clockRises(cycle);
    // The read under way, if any, is let end: its pulses are not counted from 1.
    if (++pulses !== pulse) return;
    chip.cpu.cycles += (stall_us * frequency_Hz) / 1e6;
    converter.clockRises = clockRises;
  };
}

describe('a converter that is powered down in mid-read', () => {
  it('gives one wrong value under a right checksum, and the host does not use it', async () => {
    const bench = await recordingBench({ program: 'slide', seed: 6 });
    const { board, clock } = bench.port;
    clock.after(1000, () => stallInRead(board, 9, 100));
    const outcome = await recordBuild({ ...bench, procedure: capture('unknown', 3) });
    const { trace, trust } = bench.logbook.readRecording(outcome.recordingId);
    await bench.close();

    expect(board.converter.account.powerDowns).toBe(1);
    expect(outcome).toMatchObject({
      state: 'complete',
      statistics: { linesMissing: 0, linesSkipped: {}, linesDroppedByDevice: 0 },
    });
    // What was sent: one value that no conversion had.
    const { force_N, time_s } = trace.force;
    const converted = board.converter.history.map(({ counts }) => (counts - 41_000) / 21_900);
    const [low, high] = [Math.min(...converted), Math.max(...converted)];
    expect(force_N.every((force) => force >= low - 1e-9 && force <= high + 1e-9)).toBe(true);
    expect(trust.find(({ kind }) => kind === 'force')).toMatchObject({ doubted: 1, missing: 3 });
    expect(outcome.samples.force).toBe(time_s.length + 1);
  });

  it('is a wrong value indeed: without the doubt it would have been used', () => {
    const talk = conversation({ program: 'slide', seed: 6 });
    talk.listen(0.1);
    talk.ask({ type: 'start', tag: 1 });
    talk.listen(0.5);
    stallInRead(talk.board, 9, 100);
    talk.listen(0.5);
    const converted = new Set(talk.board.converter.history.map(({ counts }) => counts));
    const wrong = talk.samples('force').filter(({ counts }) => !converted.has(counts));
    expect(wrong).toHaveLength(1);
    expect(talk.skipped).toEqual(['empty']);
  });

  it('is not what a pause with the clock low does, nor a short one with it high', () => {
    const talk = conversation({ program: 'slide', seed: 6 });
    talk.listen(0.1);
    talk.ask({ type: 'start', tag: 1 });
    stallInRead(talk.board, 9, 45);
    talk.listen(0.5);
    const { clockFalls } = talk.board.converter;
    let falls = 0;
    talk.board.converter.clockFalls = (cycle) => {
      clockFalls(cycle);
      if (++falls === 9) talk.board.chip.cpu.cycles += 8000;
    };
    talk.listen(0.5);
    const converted = new Set(talk.board.converter.history.map(({ counts }) => counts));
    expect(talk.samples('force').filter(({ counts }) => !converted.has(counts))).toEqual([]);
    expect(talk.board.converter.account.powerDowns).toBe(0);
  });
});

describe('a reset in mid-line', () => {
  it('loses no banner: 20 of 20 come through, wherever the line is cut', () => {
    const talk = conversation({ program: 'slide', seed: 1 });
    talk.listen(0.05);
    for (let reset = 1; reset <= 20; reset++) {
      talk.ask({ type: 'start', tag: reset });
      talk.listen(0.05);
      const sent = talk.frames.length;
      // Lines come every 2.5 ms and take one: look for one under way.
      let midLine = false;
      const { usart, cpu } = talk.board.chip;
      for (let tries = 0; tries < 200 && !midLine; tries++) {
        talk.board.runUntil(cpu.cycles + 640 * (1 + (reset % 7)));
        midLine = talk.pendingBytes() > 3;
      }
      expect(midLine).toBe(true);
      expect(usart.overrun).toBe(0);
      talk.board.reset();
      const [banner] = talk.listen(0.05);
      expect(banner).toMatchObject({ type: 'event', event: 'boot', sequence: 0, value: 2 });
      expect(talk.frames.length).toBeGreaterThan(sent);
    }
    expect(talk.events().filter(({ event }) => event === 'boot')).toHaveLength(21);
    // Each cut line was passed over, and nothing else but the empty lines before the banners.
    expect(talk.skipped.filter((reason) => reason !== 'empty').length).toBe(20);
  });
});

describe('a program that hangs while sampling', () => {
  it('is back by its watchdog in a quarter of a second, and the host ends the run as restarted', async () => {
    const port = boardPort({ program: 'drive', seed: 1, bootLoader: true });
    const link = await openRigLink({ path: port.path, binding: port.binding, clock: port.clock });
    const failures: [code: string, time_s: number][] = [];
    link.listen({ failure: ({ code }) => failures.push([code, port.board.time_s]) });
    await link.startSampling();
    await new Promise<void>((resolve) => void port.clock.after(500, resolve));
    const hung_s = port.board.time_s;
    port.board.hang();
    await new Promise<void>((resolve) => void port.clock.after(500, resolve));
    expect(failures.map(([code]) => code)).toEqual(['rig-restarted']);
    expect(failures[0]![1] - hung_s).toBeLessThan(0.25);
    await link.startSampling();
    await new Promise<void>((resolve) => void port.clock.after(200, resolve));
    expect((await link.stopSampling()).linesDecoded).toBeGreaterThan(90);
    await link.close();
  });
});

describe('a host that stops reading for 3 s', () => {
  const stalled = async (hostBuffer_bytes: number) => {
    const port = boardPort({ program: 'slide', seed: 1, hostBuffer_bytes });
    const link = await openRigLink({ path: port.path, binding: port.binding, clock: port.clock });
    const failures: string[] = [];
    link.listen({ failure: ({ code }) => failures.push(code) });
    await link.startSampling();
    port.clock.after(500, () => {
      port.stallUntil_s = port.board.time_s + 3;
    });
    await new Promise<void>((resolve) => void port.clock.after(4500, resolve));
    const statistics = await link.stopSampling();
    await link.close();
    return { port, statistics, failures };
  };

  it('loses nothing where its system keeps 64 KB', async () => {
    const { port, statistics, failures } = await stalled(65_536);
    expect(port.lost).toBe(0);
    expect(failures).toEqual([]);
    expect(statistics).toMatchObject({ linesMissing: 0, linesSkipped: {}, linesDroppedByDevice: 0 });
  });

  it('knows how many lines it lost where its system keeps 4 KB, damages at most one, and goes on', async () => {
    const { port, statistics, failures } = await stalled(4096);
    expect(port.lost).toBeGreaterThan(20_000);
    expect(failures).toEqual([]);
    // 480 lines a second, less what fits.
    expect(statistics.linesMissing).toBeGreaterThan(1000);
    expect(statistics.linesMissing).toBeLessThan(1440);
    const skipped = Object.values(statistics.linesSkipped).reduce((sum, count) => sum + count, 0);
    expect(skipped).toBeLessThanOrEqual(1);
    expect(statistics.linesDroppedByDevice).toBe(0);
  });
});
