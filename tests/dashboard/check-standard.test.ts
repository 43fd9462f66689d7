import { describe, expect, it, vi } from 'vitest';
import type { Logbook } from '../../daq/index.js';
import { checkAnswer } from '../../dashboard/answers/index.js';
import { warnOfCheck } from '../../dashboard/cli/check-warning.js';

/** Measurements of sittings a day apart, each with its remounts, by their values. */
const history = (sittings: readonly (readonly number[])[]) =>
  sittings.flatMap((values, day) =>
    values.map((value, k) => ({
      recordingId: 10 * day + k,
      startedAt: new Date(Date.UTC(2026, 0, 1 + day, 18, 10 * k)).toISOString(),
      value,
      standardError: 0.0005,
    })),
  );
const around = (level: number) => [level - 0.01, level, level + 0.01];
const levels = [1.5, 1.501, 1.499, 1.5, 1.501];
const judged = (newest: readonly number[]) =>
  checkAnswer({ friction_N: history([...levels.map(around), newest]) });

describe('a check standard that was remounted in every sitting', () => {
  it('is not called outside by what one mounting does, when it was mounted once', () => {
    // One remount in earlier sittings differs from the next by 0.01: nothing that the rig has not done before.
    expect(judged([1.512]).verdict).toBe('steady');
    expect(checkAnswer({ friction_N: history([...levels.map((level) => [level]), [1.512]]) }).verdict).toBe(
      'outside',
    );
    expect(judged([1.7]).verdict).toBe('outside');
  });

  it('is known better from three mountings than from one', () => {
    const reach = ({ quantities: [quantity] }: ReturnType<typeof judged>) =>
      quantity!.limits!.high - quantity!.limits!.centre;
    expect(reach(judged(around(1.5))) / reach(judged([1.5]))).toBeCloseTo(1 / Math.sqrt(3), 2);
  });

  it('warns when its remounts differ more than they used to', () => {
    expect(judged([1.46, 1.5, 1.54])).toMatchObject({
      verdict: 'spread',
      quantities: [{ remounts: { count: 3 } }],
    });
  });
});

describe('a recording on a rig with a check standard', () => {
  const warningOn = (values: readonly number[], now: string) => {
    const asked = {
      findRig: () => 1,
      checkStandardOf: () => ({}),
      checkHistory: () => history(values.map((value) => [value])),
    };
    let said = '';
    const spied = vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
      said += text;
      return true;
    });
    warnOfCheck(asked as unknown as Logbook, 'bench', new Date(now));
    spied.mockRestore();
    return said.replace(/\s+/g, ' ');
  };

  it('begins with a warning where the rig has changed, and else says when it was not checked', () => {
    expect(warningOn([...levels, 1.6], '2026-01-06T19:00:00Z')).toMatch(/^▲ Do not measure shocks yet/);
    expect(warningOn([...levels, 1.5], '2026-01-06T19:00:00Z')).toBe('');
    expect(warningOn([...levels, 1.5], '2026-01-09T19:00:00Z')).toMatch(/not measured in this sitting/);
  });
});
