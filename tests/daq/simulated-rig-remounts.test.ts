import { describe, expect, it } from 'vitest';
import { simulatedBuilds } from '../../daq/simulated-rig/builds.js';
import { mountShock, noRemountSpread } from '../../daq/simulated-rig/remount.js';

describe('remounts', () => {
  it('differ a little, and the same number is the same mount again', () => {
    const shock = simulatedBuilds['draggy-seal'];
    const drag = Array.from(
      { length: 200 },
      (_, i) =>
        mountShock(shock, 7, i, 23, { ...noRemountSpread, drag: 0.02 }).shock.seal.sliding_N.compression,
    );
    const mean = drag.reduce((a, b) => a + b) / drag.length;
    const spread = Math.sqrt(drag.reduce((sum, d) => sum + (d - mean) ** 2, 0) / (drag.length - 1));
    expect(mean / 1.1).toBeCloseTo(1, 2);
    // Standard deviation of 200 draws: within four of its own standard errors, 4/√(2·199) = 20 %.
    expect(spread / (0.02 * 1.1)).toBeGreaterThan(0.8);
    expect(spread / (0.02 * 1.1)).toBeLessThan(1.2);
    expect(mountShock(shock, 7, 3, 23, { ...noRemountSpread, drag: 0.02 })).toEqual(
      mountShock(shock, 7, 3, 23, { ...noRemountSpread, drag: 0.02 }),
    );
  });
});
