import { describe, expect, it } from 'vitest';
import { capture } from '../../daq/procedures.js';
import { recordBuild } from '../../daq/recording/record-build.js';
import { type Conversation, conversation } from './machine/conversation.js';
import { recordingBench } from './recording-bench.js';

const started = (program: string): Conversation => {
  const talk = conversation({ program, seed: 2 });
  talk.listen(0.05);
  talk.ask({ type: 'start', tag: 1 });
  return talk;
};

describe('the thermometer on the shock', () => {
  it('comes once a second, in thousandths of a degree, below zero too', () => {
    const talk = started('slide-temperature');
    for (const degrees of [-12.0625, 0, 21.5, 85.9375]) {
      talk.board.thermometer.temperature_degC = degrees;
      talk.listen(1);
    }
    const temperatures = talk.samples('temperature');
    // Halves of a thousandth are rounded away from zero.
    expect(temperatures.map(({ counts }) => counts)).toEqual([-12_063, 0, 21_500, 85_938]);
    for (const [i, { deviceTime_us }] of temperatures.slice(1).entries())
      expect(Math.abs(deviceTime_us - temperatures[i]!.deviceTime_us - 1e6)).toBeLessThan(500);
  });

  it('shares the bus with the angle sensor, which loses no sample and no evenness', () => {
    const talk = conversation({ program: 'drive-angle-temperature', seed: 2 });
    talk.listen(0.05);
    talk.ask({ type: 'rate', tag: 1, kind: 'position', rate_mHz: 600_000 });
    talk.ask({ type: 'start', tag: 2 });
    talk.listen(2.2);
    const positions = talk.samples('position');
    expect(positions.length).toBeGreaterThan(1315);
    expect(talk.samples('temperature')).toHaveLength(2);
    // At worst one reading of the thermometer comes before: 47 bits at 400 kHz.
    const steps_us = positions
      .slice(1)
      .map(({ deviceTime_us }, i) => deviceTime_us - positions[i]!.deviceTime_us);
    for (const step_us of steps_us) expect(Math.abs(step_us - 5000 / 3)).toBeLessThan(180);
    expect(talk.skipped).toEqual(['empty']);
  });

  it('may come off the bus, and back: only its own samples stay away', () => {
    const talk = started('drive-angle-temperature');
    talk.listen(1.2);
    talk.board.thermometer.address = 0x4f;
    talk.listen(2);
    talk.board.thermometer.address = 0x48;
    talk.listen(1.2);
    const times_s = talk.samples('temperature').map(({ deviceTime_us }) => deviceTime_us / 1e6);
    expect(times_s).toHaveLength(2);
    expect(times_s[1]! - times_s[0]!).toBeGreaterThan(2);
    expect(talk.samples('position').length).toBeGreaterThan(1750);
  });

  it('is declared, refuses another rate, and is recorded in degrees', async () => {
    const bench = await recordingBench({ program: 'slide-temperature', seed: 2 });
    const channel = bench.link.identity().channels.at(-1);
    expect(channel).toMatchObject({ kind: 'temperature', unit: 'mdegC', rate_mHz: 1000, delay_us: 0 });
    await expect(bench.link.setRate('temperature', 5)).rejects.toThrow(/refused as 'bad-argument'/);
    bench.port.board.thermometer.temperature_degC = 31.25;
    const outcome = await recordBuild({ ...bench, procedure: capture('unknown', 3) });
    const { trace } = bench.logbook.readRecording(outcome.recordingId);
    await bench.close();
    expect(outcome).toMatchObject({ state: 'complete' });
    expect([...trace.temperature!.temperature_degC].at(-1)).toBe(31.25);
  });
});
