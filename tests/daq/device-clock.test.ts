import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deviceClock } from '../../daq/clock/device-clock.js';
import { trustedSamples } from '../../daq/clock/trusted-samples.js';
import { sequenceAccount } from '../../daq/link/sequence-account.js';

describe('the device clock', () => {
  it('goes on through many wraps of 32 bits, to the microsecond', () => {
    const unwrap = deviceClock();
    const start = 2 ** 32 - 3;
    const steps = [0, 1, 1, 1, 2 ** 31 - 1, 2 ** 31 - 1, 12_345, 2 ** 31 - 1, 2 ** 31 - 1, 2 ** 31 - 1];
    let true_us = start;
    for (const step of steps) {
      true_us += step;
      expect(unwrap(true_us % 2 ** 32)).toBe(true_us);
    }
    expect(true_us).toBeGreaterThan(3 * 2 ** 32);
  });

  it('serves channels that interleave across a wrap, and stamps that come late', () => {
    const unwrap = deviceClock();
    const wrap = 2 ** 32;
    expect([wrap - 10, 5, wrap - 4, 8, wrap - 1, 9].map(unwrap)).toEqual([
      wrap - 10,
      wrap + 5,
      wrap - 4,
      wrap + 8,
      wrap - 1,
      wrap + 9,
    ]);
  });

  it('keeps every order in which stamps less than 35 minutes apart may come', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 2 ** 32 - 1 }),
        fc.array(fc.integer({ min: -(2 ** 29), max: 2 ** 30 - 1 }), { maxLength: 50 }),
        (start, steps) => {
          const unwrap = deviceClock();
          expect(unwrap(start)).toBe(start);
          let true_us = start;
          let latest_us = start;
          for (const step of steps) {
            true_us = Math.max(latest_us - 2 ** 30, true_us + step);
            latest_us = Math.max(latest_us, true_us);
            expect(unwrap(((true_us % 2 ** 32) + 2 ** 32) % 2 ** 32)).toBe(true_us);
          }
        },
      ),
      { seed: 4 },
    );
  });
});

describe('samples to trust', () => {
  const every = (period: number, count: number) => Float64Array.from({ length: count }, (_, i) => i * period);
  const without = (times: Float64Array, ...indices: number[]) => times.filter((_, i) => !indices.includes(i));

  it('are all of a steady channel', () => {
    const trusted = trustedSamples(every(12_500, 100), true, 12_500);
    expect(trusted).toMatchObject({ missing: 0, doubted: 0, disordered: 0, period_us: 12_500 });
    expect([...trusted.indices]).toEqual([...Array(100).keys()]);
  });

  it('leave out the one before a gap, on a force channel only', () => {
    const times = without(every(12_500, 100), 50, 51, 52, 53);
    const force = trustedSamples(times, true, 12_500);
    expect(force).toMatchObject({ missing: 4, doubted: 1 });
    expect([...force.indices]).not.toContain(49);
    expect(force.indices).toHaveLength(95);
    expect(trustedSamples(times, false, 12_500)).toMatchObject({ missing: 4, doubted: 0 });
  });

  it('count a gap from 1.5 periods on', () => {
    const late = every(1000, 100).map((time, i) => (i < 50 ? time : time + 499));
    expect(trustedSamples(late, true, 1000).missing).toBe(0);
    const later = late.map((time, i) => (i < 50 ? time : time + 20));
    expect(trustedSamples(later, true, 1000).missing).toBe(1);
  });

  it('are judged by the pace they have, not by the one declared', () => {
    const tenTimesSlower = every(100_000, 100);
    expect(trustedSamples(tenTimesSlower, true, 12_500)).toMatchObject({ missing: 0, period_us: 100_000 });
    const drifted = every(12_048, 100);
    expect(trustedSamples(drifted, true, 12_500).period_us).toBeCloseTo(12_048, 6);
  });

  it('are judged by the declared pace where there are few', () => {
    expect(trustedSamples(Float64Array.of(0, 1000, 5000), true, 1000)).toMatchObject({
      missing: 3,
      doubted: 1,
    });
    expect(trustedSamples(Float64Array.of(0, 1000, 5000), true, Number.NaN)).toMatchObject({ missing: 0 });
  });

  it('never go back in time, and what does is counted', () => {
    const times = Float64Array.of(0, 10, 10, 5, 20, 30, 25, 40);
    const trusted = trustedSamples(times, false, 10);
    expect([...trusted.indices]).toEqual([0, 1, 4, 5, 7]);
    expect(trusted.disordered).toBe(3);
  });

  it('survive having nothing, or gaps side by side', () => {
    expect(trustedSamples(new Float64Array(0), true, 10).indices).toHaveLength(0);
    expect([...trustedSamples(Float64Array.of(0, 100, 200, 300), true, 10).indices]).toEqual([3]);
  });
});

describe('the sequence account', () => {
  it('agrees with a count by hand for any losses and repetitions, through the wrap', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 65_535 }),
        fc.array(fc.tuple(fc.integer({ min: 0, max: 500 }), fc.boolean()), { maxLength: 400 }),
        (start, lines) => {
          const account = sequenceAccount();
          account.accept(start);
          let sequence = start;
          let missing = 0;
          let duplicated = 0;
          for (const [lost, twice] of lines) {
            sequence = (sequence + lost + 1) % 65_536;
            missing += lost;
            account.accept(sequence);
            if (twice) {
              duplicated++;
              expect(account.accept(sequence)).toBe('duplicate');
            }
          }
          expect([account.missing(), account.duplicated()]).toEqual([missing, duplicated]);
        },
      ),
      { seed: 5 },
    );
  });

  it('takes back a loss when the line comes late', () => {
    const account = sequenceAccount();
    expect([7, 10, 8].map((sequence) => account.accept(sequence))).toEqual(['next', 'next', 'late']);
    expect(account.missing()).toBe(1);
  });
});
