import { describe, expect, it } from 'vitest';
import {
  exactRig,
  type SimulatedFault,
  type SimulatedRigOptions,
  simulatedRig,
  simulatedRigCalibration,
} from '../../daq/simulated-rig/index.js';
import { openTerminal } from './simulated-rig-terminal.js';

const plain: SimulatedRigOptions = { seed: 11, build: 'low-drag-seal', pace: 'simulated' };

/** Opens, starts sampling and turns the crank; faults count from here. */
async function running(options: Partial<SimulatedRigOptions> = {}) {
  const rig = simulatedRig({ ...plain, ...options });
  const terminal = await openTerminal(rig);
  await terminal.wait(50);
  await terminal.ask({ type: 'start' });
  await terminal.ask({ type: 'drive', speed_mHz: 1500 });
  return { rig, terminal };
}

async function runWith(...faults: SimulatedFault[]) {
  const started = await running({ faults });
  await started.terminal.beat(2000);
  return started;
}

describe('the simulated rig behind serialport', () => {
  it('is listed, and opened under its own path only', async () => {
    const rig = simulatedRig(plain);
    expect((await rig.binding.list()).map(({ path }) => path)).toEqual([rig.path]);
    await expect(rig.binding.open({ path: '/dev/other', baudRate: 250_000 })).rejects.toThrow(/No such file/);
    const terminal = await openTerminal(rig);
    await expect(rig.binding.open({ path: rig.path, baudRate: 250_000 })).rejects.toThrow(/Cannot lock/);
    await terminal.close();
    expect(terminal.closings).toEqual([null]);
  });

  it('says what it is after its banner', async () => {
    const terminal = await openTerminal(simulatedRig(plain));
    await terminal.wait(50);
    expect(await terminal.ask({ type: 'identify' })).toMatchObject({ type: 'reply', command: 'identify' });
    expect(terminal.frames.map(({ type }) => type)).toEqual([
      'event',
      'identity',
      'channel',
      'channel',
      'channel',
      'drive',
      'reply',
    ]);
    expect(terminal.events()).toEqual(['boot']);
    expect(terminal.skipped).toEqual(['empty']);
  });

  it('speaks through a boot loader: two odd bytes, silence, then a banner on a line of its own', async () => {
    const terminal = await openTerminal(simulatedRig({ ...plain, opening: 'boot-loader' }));
    terminal.send({ type: 'identify' });
    await terminal.wait(1300);
    expect(terminal.frames).toEqual([]);
    await terminal.wait(200);
    expect(terminal.events()).toEqual(['boot']);
    expect(terminal.skipped).toHaveLength(1);
    expect(await terminal.ask({ type: 'identify' })).toMatchObject({ type: 'reply' });
  });

  it('records ten seconds without a gap, at the rates it declares', async () => {
    const { terminal } = await running();
    await terminal.beat(10_000);
    expect(await terminal.ask({ type: 'stop' })).toMatchObject({ type: 'reply', fields: ['0'] });
    expect(terminal.missing()).toBe(0);
    expect(terminal.skipped).toEqual(['empty']);
    for (const [kind, rate_Hz] of [
      ['force', 320],
      ['position', 400],
      ['temperature', 2],
    ] as const) {
      const times_us = terminal.samples(kind).map(({ deviceTime_us }) => deviceTime_us);
      const span_s = (times_us.at(-1)! - times_us[0]!) / 1e6;
      expect(span_s).toBeGreaterThan(9.5);
      // Oscillators of the converters are off by some tenths of a per cent.
      expect((times_us.length - 1) / span_s / rate_Hz).toBeCloseTo(1, 1.7);
      for (let i = 1; i < times_us.length; i++) expect(times_us[i]! > times_us[i - 1]!).toBe(true);
    }
    const { newton_per_count, zero_counts } = simulatedRigCalibration.force;
    const force_N = terminal.samples('force').map(({ counts }) => (counts - zero_counts) * newton_per_count);
    expect(Math.max(...force_N)).toBeGreaterThan(3);
    expect(Math.min(...force_N)).toBeLessThan(-3);
  });

  it('sends the same bytes for the same seed and others for another', async () => {
    const digests = [];
    for (const seed of [3, 3, 4]) {
      const { terminal } = await running({ seed });
      await terminal.beat(2000);
      digests.push(terminal.digest());
    }
    expect(digests[0]).toBe(digests[1]);
    expect(digests[2]).not.toBe(digests[0]);
  });

  it('drops whole lines when asked for more than the line carries, and owns up to them', async () => {
    const rig = simulatedRig({ ...plain, rates: { force_Hz: 1000, position_Hz: 2000 } });
    const terminal = await openTerminal(rig);
    await terminal.wait(50);
    await terminal.ask({ type: 'start' });
    await terminal.wait(2000);
    const stop = await terminal.ask({ type: 'stop' });
    const dropped = stop.type === 'reply' ? Number(stop.fields[0]) : 0;
    expect(dropped).toBeGreaterThan(1000);
    expect(terminal.missing()).toBe(dropped);
    expect(terminal.skipped).toEqual(['empty']);
    expect(terminal.events()).toContain('overrun');
  });

  it('lets its 32-bit clock wrap', async () => {
    const { terminal } = await running({ clockAtBoot_us: 2 ** 32 - 1_000_000 });
    await terminal.beat(2000);
    const times_us = terminal.samples('force').map(({ deviceTime_us }) => deviceTime_us);
    const falls = times_us.filter((time_us, i) => i > 0 && time_us < times_us[i - 1]!);
    expect(falls).toHaveLength(1);
    expect(falls[0]).toBeLessThan(10_000);
    expect(Math.max(...times_us)).toBeLessThan(2 ** 32);
  });

  it('changes a rate before the start, not during it, and refuses what it cannot do', async () => {
    const terminal = await openTerminal(simulatedRig(plain));
    await terminal.wait(50);
    const rate = (rate_mHz: number) => terminal.ask({ type: 'rate', kind: 'force', rate_mHz });
    expect(await rate(80_000)).toMatchObject({ type: 'reply' });
    expect(await rate(5_000_000)).toMatchObject({ type: 'refusal', code: 'bad-argument' });
    await terminal.ask({ type: 'start' });
    expect(await rate(320_000)).toMatchObject({ type: 'refusal', code: 'busy' });
    await terminal.wait(2000);
    expect(terminal.samples('force').length).toBeGreaterThan(155);
    expect(terminal.samples('force').length).toBeLessThan(168);
    expect(await terminal.ask({ type: 'stop' })).toMatchObject({ type: 'reply' });
    expect(await terminal.ask({ type: 'stop' })).toMatchObject({ type: 'refusal', code: 'not-running' });
    terminal.port.write('NONSENSE,1*0000\n');
    await terminal.wait(20);
    expect(terminal.frames.at(-1)).toMatchObject({ type: 'refusal', code: 'bad-checksum' });
  });

  it('marks a moment', async () => {
    const { terminal } = await running();
    const reply = await terminal.ask({ type: 'tare' });
    const event = terminal.frames.find((frame) => frame.type === 'event' && frame.event === 'tare');
    expect(event).toMatchObject({ value: reply.type === 'reply' ? reply.tag : Number.NaN });
  });

  it('lets host timers run while its port is closed, and stands still when nobody waits', async () => {
    const rig = simulatedRig(plain);
    const terminal = await openTerminal(rig);
    await terminal.wait(100);
    await terminal.close();
    await terminal.wait(3000);
    const closed_ms = rig.clock.now_ms();
    expect(closed_ms).toBeGreaterThanOrEqual(3100);
    for (let turn = 0; turn < 50; turn++) await new Promise((resolve) => setImmediate(resolve));
    expect(rig.clock.now_ms()).toBe(closed_ms);
  });

  it('fires timers in the order of their times and none that was cancelled', async () => {
    const rig = simulatedRig(plain);
    const fired: string[] = [];
    rig.clock.after(30, () => fired.push('late'));
    rig.clock.after(10, () => fired.push('early'));
    const cancel = rig.clock.after(20, () => fired.push('never'));
    rig.clock.after(10, () => fired.push('early too'));
    cancel();
    expect(fired).toEqual([]);
    await new Promise<void>((resolve) => rig.clock.after(40, resolve));
    expect(fired).toEqual(['early', 'early too', 'late']);
  });

  it('plays beside the wall clock when asked to', async () => {
    const rig = simulatedRig({ ...plain, pace: 'real' });
    const terminal = await openTerminal(rig);
    await terminal.wait(60);
    expect(terminal.events()).toEqual(['boot']);
    await terminal.close();
  });
});

describe('the drive', () => {
  it('stops by itself within a second of the last heartbeat, and stays stopped until re-armed', async () => {
    const { rig, terminal } = await running();
    await terminal.beat(1500);
    terminal.send({ type: 'beat' });
    await terminal.wait(950);
    expect(rig.commanded_rev_per_s).toBe(1.5);
    await terminal.wait(60);
    expect(rig.commanded_rev_per_s).toBe(0);
    expect(terminal.events()).toContain('lease-lost');
    await terminal.wait(500);
    const positions = terminal
      .samples('position')
      .slice(-40)
      .map(({ counts }) => counts);
    expect(Math.max(...positions) - Math.min(...positions)).toBeLessThan(20);
    const again = { type: 'drive', speed_mHz: 500 } as const;
    expect(await terminal.ask(again)).toMatchObject({ type: 'refusal', code: 'tripped' });
    rig.rearm();
    expect(await terminal.ask(again)).toMatchObject({ type: 'reply' });
    expect(terminal.events()).toContain('rearmed');
  });

  it('starts softly, halts at once, and obeys its limits', async () => {
    const { rig, terminal } = await running();
    const drive = (speed_mHz: number) => terminal.ask({ type: 'drive', speed_mHz });
    expect(await drive(19)).toMatchObject({ type: 'refusal', code: 'bad-argument' });
    expect(await drive(4001)).toMatchObject({ type: 'refusal', code: 'bad-argument' });
    expect(await terminal.ask({ type: 'halt' })).toMatchObject({ type: 'reply' });
    expect(rig.commanded_rev_per_s).toBe(0);
    expect(terminal.events()).toEqual(['boot']);
  });

  it('stops for a load beyond the limit', async () => {
    const { rig, terminal } = await runWith({ kind: 'push', at_s: 0.5, for_s: 0.1, force_N: 80 });
    expect(terminal.events()).toContain('overload');
    expect(rig.commanded_rev_per_s).toBe(0);
    expect(terminal.samples('force').length).toBeGreaterThan(500);
  });

  it('stops when someone presses stop, and when the converter saturates', async () => {
    const pressed = await runWith({ kind: 'operator-stop', at_s: 0.5 });
    expect(pressed.terminal.events()).toEqual(['boot', 'operator-stop']);
    expect(pressed.rig.commanded_rev_per_s).toBe(0);
    const saturated = await runWith({ kind: 'push', at_s: 0.5, for_s: 0.1, force_N: 500 });
    // On its way to the limit the averaging converter passes the overload first.
    expect(saturated.terminal.events()[1]).toMatch(/overload|sensor-fault/);
    expect(saturated.terminal.samples('force').some(({ counts }) => counts === 8_388_607)).toBe(true);
  });

  it('is in the way of taking the shock off', async () => {
    const { rig, terminal } = await running();
    expect(() => rig.mount('draggy-seal')).toThrow(RangeError);
    await terminal.ask({ type: 'halt' });
    const before = rig.truth().drag.mean_N;
    rig.mount('draggy-seal');
    const first = rig.truth().drag.mean_N;
    rig.mount('draggy-seal');
    const second = rig.truth().drag.mean_N;
    rig.mount('draggy-seal', 1);
    expect(first).toBeGreaterThan(2 * before);
    expect(second).not.toBe(first);
    expect(rig.truth().drag.mean_N).toBe(first);
  });
});

describe('faults', () => {
  it('lost lines show as a gap in the numbers and as nothing else', async () => {
    const { terminal } = await runWith({ kind: 'drop-lines', at_s: 1, count: 7 });
    expect(terminal.missing()).toBe(7);
    expect(terminal.skipped).toEqual(['empty']);
  });

  it('a turned bit costs one line, by its checksum', async () => {
    const { terminal } = await runWith({ kind: 'flip-bit', at_s: 1 });
    expect(terminal.missing()).toBe(1);
    expect(terminal.skipped).toEqual(['empty', 'bad-checksum']);
  });

  it('a reset in mid-line leaves half a line, then a banner and silence', async () => {
    const { rig, terminal } = await runWith({ kind: 'reset', at_s: 1 });
    expect(terminal.events()).toEqual(['boot', 'boot']);
    expect(terminal.skipped).toEqual(['empty', 'no-checksum']);
    expect(rig.commanded_rev_per_s).toBe(0);
    expect(terminal.frames.at(-1)).toMatchObject({ type: 'event', event: 'boot', sequence: 0 });
  });

  it('silence is a gap as long as it lasted', async () => {
    const { terminal } = await runWith({ kind: 'silence', at_s: 1, for_s: 0.5 });
    expect(terminal.missing()).toBeGreaterThan(350);
    const times_us = terminal.samples('force').map(({ deviceTime_us }) => deviceTime_us);
    const longest_us = Math.max(...times_us.slice(1).map((time_us, i) => time_us - times_us[i]!));
    expect(longest_us / 1e6).toBeCloseTo(0.5, 1);
  });

  it('a converter read too slowly gives a wrong number, then silence, and trips the drive', async () => {
    const { terminal } = await runWith({ kind: 'converter-lapse', at_s: 1 });
    const times_us = terminal.samples('force').map(({ deviceTime_us }) => deviceTime_us);
    const steps_us = times_us.slice(1).map((time_us, i) => time_us - times_us[i]!);
    expect(Math.max(...steps_us)).toBeGreaterThan(4.5 * 3125);
    expect(terminal.missing()).toBe(0);
    expect(terminal.events()).toContain('sensor-fault');
  });

  it('a pulled plug closes the port with an error, and the rig comes back when it is put in again', async () => {
    const { rig, terminal } = await runWith({ kind: 'unplug', at_s: 1, for_s: 5 });
    expect(terminal.closings).toHaveLength(1);
    expect(terminal.closings[0]).toMatchObject({ disconnected: true });
    expect(await rig.binding.list()).toEqual([]);
    await expect(openTerminal(rig)).rejects.toThrow(/No such file/);
    await terminal.wait(6000);
    const again = await openTerminal(rig);
    await again.wait(50);
    expect(await again.ask({ type: 'identify' })).toMatchObject({ type: 'reply' });
  });
});

describe('a rig with nothing wrong', () => {
  it('measures what is played to within its rounding', async () => {
    const { terminal } = await running({ hardware: exactRig });
    await terminal.beat(1000);
    const { metre_per_count, zero_counts } = simulatedRigCalibration.position;
    const position_m = terminal
      .samples('position')
      .map(({ counts }) => (counts - zero_counts) * metre_per_count);
    const stroke_m = Math.max(...position_m) - Math.min(...position_m);
    expect(stroke_m).toBeCloseTo(24e-3, 5);
  });
});
