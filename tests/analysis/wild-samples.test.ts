import { describe, expect, it } from 'vitest';
import { withoutGlitches } from '../../analysis/intake/wild-samples.js';
import { randomFrom } from './played/random.js';

const noise_m = 4e-6;
const limit_m = 15 * noise_m;

/** A path seen at unequal times, with noise. */
function seen(path: (t: number) => number, unevenness: number, seed: number) {
  const random = randomFrom(seed);
  const time_s = Float64Array.from(
    { length: 2000 },
    (_, i) => (i + random.uniform(-unevenness, unevenness)) / 320,
  );
  return { time_s, values: time_s.map((t) => path(t) + noise_m * random.normal()) };
}

const crank = (t: number) => 0.01 * Math.sin(2 * Math.PI * 2.7 * t);
/** There and back at 64 mm/s, turning at once, and on a sample where times are even: every 40th. */
const zigzag = (t: number) => 0.064 * Math.abs((t % 0.25) - 0.125);

describe('single positions off a path', () => {
  it.each([0, 0.2])('are left out, and no other, at steps uneven by %f', (unevenness) => {
    const { time_s, values } = seen(crank, unevenness, 5);
    const wild = [400, 777, 1500];
    const broken = values.map((x, i) => (wild.includes(i) ? x + (i % 2 ? -2 : 2) * limit_m : x));
    const kept = withoutGlitches({ time_s, values: broken }, limit_m);
    expect(kept.time_s).toEqual(time_s.filter((_, i) => !wild.includes(i)));
    expect(kept.values).toEqual(values.filter((_, i) => !wild.includes(i)));
  });

  it.each([
    ['a crank', crank, 0],
    ['a crank at very uneven steps', crank, 0.45],
    ['a crank at five samples a turn', (t: number) => 0.01 * Math.sin(2 * Math.PI * 63 * t), 0],
    ['turns at once, on a sample', zigzag, 0],
  ])('are none on %s', (_, path, unevenness) => {
    const channel = seen(path, unevenness, 6);
    expect(withoutGlitches(channel, limit_m).values).toHaveLength(2000);
  });

  it('are no accidents where there are many', () => {
    const { time_s, values } = seen(crank, 0, 7);
    const broken = values.map((x, i) => (i % 100 === 50 ? x + 1e-3 : x));
    expect(withoutGlitches({ time_s, values: broken }, limit_m).values).toEqual(broken);
  });
});
