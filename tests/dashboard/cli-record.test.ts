import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import * as daq from '../../daq/index.js';
import { recordingKeys } from '../../dashboard/cli/record-keys.js';
import { parseCoolDown, parseLadder, procedureFor } from '../../dashboard/cli/record-procedure.js';
import { speedBar } from '../../dashboard/cli/recording-progress.js';

const rig = {
  rigName: 'garage rig',
  channels: [],
  drive: { speedMin_mHz: 100, speedMax_mHz: 4000, lease_ms: 1000 },
};
const bare = { ...rig, drive: null };

describe('what record is asked for', () => {
  it('takes seconds or turns for each speed, settling and rests between them', () => {
    const ladder = parseLadder('0.5:6,2x8');
    const { steps } = procedureFor(rig, { drive: true, ladder, settle: 1, dwell: 3 }, daq);
    expect(steps).toMatchObject([
      { speed_rev_per_s: 0.5, duration_s: 7, settle_s: 1 },
      { speed_rev_per_s: null, duration_s: 3 },
      { speed_rev_per_s: 2, duration_s: 5, settle_s: 1 },
    ]);
    expect(() => parseLadder('0.5:6,2y8')).toThrow(/step '2y8'/);
    expect(() => parseCoolDown('35')).toThrow(/--cool-down 35/);
  });

  it('cools down only where there is a sensor', () => {
    const options = { drive: true, coolDown: parseCoolDown('35:120') };
    expect(() => procedureFor(rig, options, daq)).toThrow(/no temperature sensor; wanted --dwell/);
    const sensor = { kind: 'temperature' } as daq.ChannelIdentity;
    const { steps } = procedureFor({ ...rig, channels: [sensor] }, options, daq);
    expect(steps[1]).toEqual({ speed_rev_per_s: null, duration_s: 120, until_degC: 35 });
  });

  it('by hand asks for turns at each speed, with a drive on the rig or without', () => {
    for (const which of [rig, bare]) {
      const procedure = procedureFor(
        which,
        { drive: true, byHand: true, ladder: parseLadder('0.4x3,1:5') },
        daq,
      );
      expect(procedure).toMatchObject({ movedBy: 'hand', steps: [{ turns: 3 }, { turns: 5 }] });
      expect(daq.isDriven(procedure)).toBe(false);
    }
    expect(procedureFor(bare, { drive: true, byHand: true }, daq)).toEqual(daq.defaultHandLadder);
    expect(() => procedureFor(bare, { drive: true, byHand: true, dwell: 1 }, daq)).toThrow(/--by-hand/);
    expect(() => procedureFor(bare, { drive: true, dwell: 1 }, daq)).toThrow(/--dwell for rig .*no drive/);
  });
});

describe('the keyboard while a recording runs', () => {
  function terminal() {
    const input = Object.assign(new PassThrough(), {
      isTTY: true,
      raw: false,
      setRawMode: (_on: boolean) => input,
    });
    input.setRawMode = (on) => {
      input.raw = on;
      return input;
    };
    return input;
  }
  const asStdin = (input: PassThrough) => input as unknown as NodeJS.ReadStream;
  const press = async (input: PassThrough, key: string) => {
    input.write(key);
    await new Promise((resolve) => setImmediate(resolve));
  };

  it('stops it by any key, and by the terminal closing, and is given back afterwards', async () => {
    for (const key of [' ', 'q', '\r', '\u001b[A']) {
      const input = terminal();
      const keys = recordingKeys(false, asStdin(input));
      expect(input.raw).toBe(true);
      expect(keys.stop.aborted).toBe(false);
      await press(input, key);
      expect(keys.stop.aborted).toBe(true);
      keys.end();
      expect(input.raw).toBe(false);
    }
    const closing = terminal();
    const keys = recordingKeys(false, asStdin(closing));
    closing.end();
    await new Promise((resolve) => setImmediate(resolve));
    expect(keys.stop.aborted).toBe(true);
  });

  it('goes on to the next step by Enter where a hand turns the crank, once for each press', async () => {
    const input = terminal();
    const keys = recordingKeys(true, asStdin(input));
    expect(keys.takeNext()).toBe(false);
    await press(input, '\r');
    expect([keys.takeNext(), keys.takeNext(), keys.stop.aborted]).toEqual([true, false, false]);
    await press(input, ' ');
    expect(keys.stop.aborted).toBe(true);
    keys.end();
  });
});

describe('the bar of speeds', () => {
  it('shows the wanted band, and the speed in it, below it or above', () => {
    const at = (speed: number | null) => speedBar(speed, 0.4).indexOf('●');
    const [low, high] = [speedBar(null, 0.4).indexOf('['), speedBar(null, 0.4).indexOf(']')];
    expect(at(null)).toBe(-1);
    expect(at(0.4)).toBe(15);
    expect(at(0.32)).toBeGreaterThan(low);
    expect(at(0.32)).toBeLessThan(15);
    expect(at(0.2)).toBeLessThan(low);
    expect(at(0.7)).toBeGreaterThan(high);
    expect([at(0.001), at(100)]).toEqual([0, 30]);
    expect(speedBar(0.7, 0.4)).toHaveLength(31);
  });
});
