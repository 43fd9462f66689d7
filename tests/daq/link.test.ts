import { describe, expect, it } from 'vitest';
import { DaqError } from '../../daq/daq-error.js';
import { openRigLink } from '../../daq/link/rig-link.js';
import { encodeDeviceLine } from '../../firmware-protocol/index.js';
import { scriptedRig } from './scripted-rig.js';

const codeOf = (promise: Promise<unknown>) =>
  promise.then(
    () => 'no error',
    (error) => (error instanceof DaqError ? error.code : error),
  );

/** Waits for so much of the script's time. */
function passes(rig: ReturnType<typeof scriptedRig>, ms: number): Promise<void> {
  return new Promise((resolve) => rig.clock.after(ms, resolve));
}

describe('identifying a rig', () => {
  it('takes one answer from a rig that was running all along', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    expect(link.identity()).toMatchObject({
      rigName: 'scripted',
      drive: { speedMin_mHz: 100, speedMax_mHz: 5000, lease_ms: 1000 },
      channels: [
        { kind: 'force', kernel: 'sinc4', rate_mHz: 80_000 },
        { kind: 'position', delay_us: 416 },
      ],
    });
    await link.close();
  });

  it('survives a reset on opening: a deaf boot loader, its noise, half a line glued to nothing', async () => {
    const rig = scriptedRig({ deaf_ms: 1400 });
    rig.sendBytes(Uint8Array.of(0x14, 0x10));
    rig.sendBytes('P,88,123456,');
    rig.clock.after(1410, () => rig.reset(true));
    const link = await openRigLink(rig);
    expect(rig.now_ms()).toBeLessThan(2000);
    expect(link.identity().rigName).toBe('scripted');
    await link.close();
  });

  it('asks again when a line of the answer was lost', async () => {
    let answers = 0;
    const rig = scriptedRig({
      onWire: (bytes, frame) =>
        frame.type === 'channel' && frame.kind === 'position' && ++answers === 1 ? null : bytes,
    });
    const link = await openRigLink(rig);
    expect(answers).toBe(2);
    expect(link.identity().channels).toHaveLength(2);
    await link.close();
  });

  it('gives up after 3 s and says what it heard', async () => {
    const silent = scriptedRig({ deaf_ms: Infinity });
    expect(await codeOf(openRigLink(silent))).toBe('rig-silent');
    expect(silent.now_ms()).toBeGreaterThanOrEqual(3000);
    expect(silent.now_ms()).toBeLessThan(3100);

    const noisy = scriptedRig({ onWire: () => Uint8Array.of(0xfe, 0x80, 0x0a) });
    expect(await codeOf(openRigLink(noisy))).toBe('rig-unreadable');

    const foreign = scriptedRig({ onWire: () => Buffer.from('time 12.5, force 3\r\n') });
    const told = openRigLink(foreign);
    await expect(told).rejects.toThrow(/lines of text .*plain numbers are taken with --plain/);
    expect(await codeOf(told)).toBe('rig-foreign');

    const torn = scriptedRig({ onWire: (bytes, frame) => (frame.type === 'drive' ? null : bytes) });
    expect(await codeOf(openRigLink(torn))).toBe('rig-unidentified');

    expect(await codeOf(openRigLink(scriptedRig({ protocolVersion: 2 })))).toBe('rig-version');
  });

  it('tries other baud rates where it reads noise, 3 s each, and says which', async () => {
    const rig = scriptedRig({ baudRate: 500_000 });
    const tried: [number, number][] = [];
    const link = await openRigLink({ ...rig, onBaudRate: (baud) => tried.push([baud, rig.now_ms()]) });
    expect(tried.map(([baud]) => baud)).toEqual([250_000, 115_200, 500_000]);
    expect(tried[1]![1]).toBeCloseTo(3000, -2);
    expect(tried[2]![1]).toBeCloseTo(6000, -2);
    expect(link).toMatchObject({ baudRate: 500_000 });
    await link.close();

    const strange = scriptedRig({ baudRate: 31_250 });
    await expect(openRigLink(strange)).rejects.toThrow(/nothing that can be read at 250000, 115200, .* baud/);
    expect(await codeOf(openRigLink({ ...scriptedRig({ baudRate: 31_250 }), baudRate: 250_000 }))).toBe(
      'rig-unreadable',
    );
  });

  it('finds a rig that began anew without being heard to say so', async () => {
    const rig = scriptedRig({ firstSequence: 900 });
    rig.sendIdentity();
    rig.clock.after(20, () => rig.reset(false));
    const link = await openRigLink(rig);
    expect(rig.now_ms()).toBeLessThan(600);
    await link.close();
  });

  it('stops what an earlier program left running', async () => {
    const rig = scriptedRig();
    const first = await openRigLink(rig);
    await first.startSampling();
    await first.setDriveSpeed(1);
    rig.unplug();
    const second = await openRigLink(rig);
    expect(rig.isSampling()).toBe(false);
    expect(rig.speed_mHz()).toBe(0);
    await second.close();
  });
});

describe('commands', () => {
  it('are asked again under a new tag when no answer comes, three times', async () => {
    const rig = scriptedRig({ ignores: ({ type }, times) => type === 'tare' && times < 3 });
    const link = await openRigLink(rig);
    await link.tare();
    const tags = rig.heard.filter(({ type }) => type === 'tare').map(({ tag }) => tag);
    expect(new Set(tags).size).toBe(3);
    await link.close();

    const deaf = scriptedRig({ ignores: ({ type }) => type === 'tare' });
    const deafLink = await openRigLink(deaf);
    expect(await codeOf(deafLink.tare())).toBe('command-unanswered');
    await deafLink.close();
  });

  it('count a start as done when its answer was lost and the repetition is refused as busy', async () => {
    let lost = 0;
    const rig = scriptedRig({
      onWire: (bytes, frame) =>
        frame.type === 'reply' && frame.command === 'start' && ++lost === 1 ? null : bytes,
    });
    const link = await openRigLink(rig);
    await link.startSampling();
    expect(rig.isSampling()).toBe(true);
    await link.close();
  });

  it('never use tag 0, which a device answers with when it could not read the tag', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    for (let i = 0; i < 300; i++) await link.tare();
    expect(rig.heard.every(({ tag }) => tag >= 1 && tag <= 255)).toBe(true);
    await link.close();
  });

  it('of a rate are followed by what the rig made of it', async () => {
    const link = await openRigLink(scriptedRig());
    await link.setRate('force', 300);
    expect(link.identity().channels[0]).toMatchObject({ kind: 'force', rate_mHz: 320_000 });
    await link.close();
  });

  it('of a tare are followed by the moment it was', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    const events: string[] = [];
    link.listen({ event: ({ event }) => events.push(event) });
    await link.tare();
    await passes(rig, 20);
    expect(events).toEqual(['tare']);
    await link.close();
  });

  it('say in words why a rig refuses', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    rig.trip();
    await expect(link.setDriveSpeed(1)).rejects.toThrow(/'drive' refused as 'tripped'; wanted .*re-arm/);
    await link.close();
  });
});

describe('the drive', () => {
  it('is kept alive by heartbeats, four to a lease, until it is halted', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    await link.setDriveSpeed(1.5);
    expect(rig.speed_mHz()).toBe(1500);
    await passes(rig, 2000);
    const beats = () => rig.heard.filter(({ type }) => type === 'beat').length;
    expect(beats()).toBeGreaterThanOrEqual(7);
    await link.haltDrive();
    expect(rig.speed_mHz()).toBe(0);
    const atHalt = beats();
    await passes(rig, 2000);
    expect(beats()).toBe(atHalt);
    await link.close();
  });

  it('refuses a speed the rig cannot do, or any on a rig without a drive, and sends nothing', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    for (const speed of [0, 0.09, 5.001, Number.NaN])
      expect(await codeOf(link.setDriveSpeed(speed))).toBe('speed-out-of-range');
    expect(rig.heard.some(({ type }) => type === 'drive')).toBe(false);
    await link.close();
    const bare = await openRigLink(scriptedRig({ drive: false }));
    expect(await codeOf(bare.setDriveSpeed(1))).toBe('no-drive');
    await bare.close();
  });

  it('stays halted when a speed was still under way', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    const drive = link.setDriveSpeed(1);
    const halt = link.haltDrive();
    await Promise.all([drive, halt]);
    expect(rig.speed_mHz()).toBe(0);
    await passes(rig, 1000);
    expect(rig.heard.filter(({ type }) => type === 'beat')).toEqual([]);
    await link.close();
  });
});

describe('a run', () => {
  it('counts lost lines by their numbers, across the wrap at 65536', async () => {
    const rig = scriptedRig({ firstSequence: 65_500 });
    const link = await openRigLink(rig);
    await link.startSampling();
    await passes(rig, 100);
    rig.dropLines(7);
    await passes(rig, 50);
    rig.dropLines(1000);
    await passes(rig, 50);
    const statistics = await link.stopSampling();
    expect(statistics.linesMissing).toBe(1007);
    expect(statistics.linesDecoded).toBeGreaterThan(50);
    expect(statistics.linesDroppedByDevice).toBe(0);
    await link.close();
  });

  it('counts damaged lines by reason and duplicates once', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    const seen: number[] = [];
    link.listen({ sample: ({ sequence }) => seen.push(sequence) });
    await link.startSampling();
    await passes(rig, 50);
    rig.sendBytes('P,1,2,3*0000\n\n');
    rig.sendBytes(`${'x'.repeat(5000)}\n`);
    const twice = { type: 'sample', kind: 'force', deviceTime_us: 5, counts: 7, sequence: 100 } as const;
    rig.setSequence(101);
    rig.sendBytes(encodeDeviceLine(twice));
    rig.sendBytes(encodeDeviceLine(twice));
    await passes(rig, 50);
    const statistics = await link.stopSampling();
    expect(statistics.linesSkipped).toEqual({ 'bad-checksum': 1, 'too-long': 1 });
    expect(statistics.linesDuplicated).toBe(1);
    expect(seen.filter((sequence) => sequence === 100)).toHaveLength(1);
    await link.close();
  });

  it('gives a line that comes late its place, and one that came before does not pass for it', async () => {
    const rig = scriptedRig({ firstSequence: 65_530 });
    const link = await openRigLink(rig);
    const seen: number[] = [];
    link.listen({ sample: ({ sequence }) => seen.push(sequence) });
    await link.startSampling();
    await passes(rig, 50);
    const line = (sequence: number) =>
      encodeDeviceLine({ type: 'sample', kind: 'force', deviceTime_us: 50 * sequence, counts: 7, sequence });
    for (const sequence of [200, 203, 201, 200, 203, 201, 204]) rig.sendBytes(line(sequence));
    rig.setSequence(205);
    await passes(rig, 50);
    const { linesMissing, linesDuplicated } = await link.stopSampling();
    const gap = 200 - seen[seen.indexOf(200) - 1]! - 1;
    expect(seen.filter((sequence) => sequence >= 200 && sequence < 205)).toEqual([200, 203, 201, 204]);
    expect({ linesMissing: linesMissing - gap, linesDuplicated }).toEqual({
      linesMissing: 1,
      linesDuplicated: 3,
    });
    await link.close();
  });

  it('keeps its memory when a device floods it without a newline', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    await link.startSampling();
    for (let i = 0; i < 40; i++) rig.sendBytes('y'.repeat(50_000));
    await passes(rig, 20);
    rig.sendBytes('\n');
    await passes(rig, 100);
    const statistics = await link.stopSampling();
    expect(statistics.bytesFlooded).toBeGreaterThan(1_900_000);
    expect(statistics.linesSkipped['too-long']).toBe(1);
    await link.close();
  });

  it('is the same whether its bytes come one at a time or many', async () => {
    const frames = async (bytesPerRead: number) => {
      const rig = scriptedRig({ bytesPerRead });
      const link = await openRigLink(rig);
      const samples: object[] = [];
      link.listen({ sample: (frame) => samples.push(frame) });
      await link.startSampling();
      while (samples.length < 100) await new Promise((resolve) => setImmediate(resolve));
      const { linesMissing, linesSkipped } = await link.stopSampling();
      expect({ linesMissing, linesSkipped }).toEqual({ linesMissing: 0, linesSkipped: {} });
      await link.close();
      return samples.slice(0, 100).map((frame) => ({ ...frame, deviceTime_us: 0, counts: 0 }));
    };
    expect(await frames(1)).toEqual(await frames(4096));
  });

  it('is ended, and the drive halted, when the link is closed', async () => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    await link.startSampling();
    await link.setDriveSpeed(1);
    await link.close();
    expect(rig.isSampling()).toBe(false);
    expect(rig.speed_mHz()).toBe(0);
    await link.close();
  });

  it.each([
    ['a boot event', (rig: ReturnType<typeof scriptedRig>) => rig.reset(true), 'rig-restarted'],
    [
      'an identity nobody asked for',
      (rig: ReturnType<typeof scriptedRig>) => rig.sendIdentity(),
      'rig-restarted',
    ],
    ['a second of silence', (rig: ReturnType<typeof scriptedRig>) => rig.hang(), 'rig-silent'],
    ['a cable that came loose', (rig: ReturnType<typeof scriptedRig>) => rig.unplug(), 'port-failed'],
  ])('ends with %s, once', async (_what, happen, code) => {
    const rig = scriptedRig();
    const link = await openRigLink(rig);
    const failures: string[] = [];
    link.listen({ failure: (error) => failures.push(error.code) });
    await link.startSampling();
    await passes(rig, 100);
    happen(rig);
    for (let i = 0; i < 400 && failures.length === 0; i++)
      await new Promise((resolve) => setImmediate(resolve));
    expect(failures).toEqual([code]);
    await link.close();
    expect(failures).toHaveLength(1);
  });
});
