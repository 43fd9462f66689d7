import { describe, expect, it } from 'vitest';
import { firstTouch, travelSweep, withSpacers } from '../../../analysis/index.js';
import { type Random, randomFrom } from '../played/random.js';

interface Stop {
  readonly at_m: number;
  readonly stiffness_N_per_m: number;
  readonly power?: 1 | 2;
}

interface Played {
  readonly travel_m: number;
  readonly stop: Stop | null;
  readonly seat: Stop | null;
  readonly spring_N_per_m: number;
  readonly friction_N: number;
  readonly damping_Ns_per_m: number;
  readonly noise_N: number;
}

const sound: Played = {
  travel_m: 0.022,
  stop: null,
  seat: null,
  spring_N_per_m: 0,
  friction_N: 0.5,
  damping_Ns_per_m: 30,
  noise_N: 0.008,
};

/** Crank strokes of 6 s over the whole travel, gas that is compressed to half its volume, a seal that shears. */
function playSweep(played: Played, random: Random): [Float64Array, Float64Array] {
  const n = 4 * 480;
  const position_m = new Float64Array(n);
  const force_N = new Float64Array(n);
  let state = 0;
  let before = 0;
  for (let i = 0; i < n; i++) {
    const phase = (2 * Math.PI * i) / 480;
    const x = (played.travel_m / 2) * (1 - Math.cos(phase));
    const v = ((played.travel_m / 2) * Math.sin(phase) * 2 * Math.PI) / 6;
    const sign = Math.sign(x - before);
    state = sign + (state - sign) * Math.exp(-Math.abs(x - before) / 0.08e-3);
    before = x;
    const gas = 9.6e-6 * (1.1e5 / (1 - (0.5 * x) / played.travel_m) ** 1.2 - 101325);
    const depth = played.stop ? Math.max(0, x - played.stop.at_m) : 0;
    const pulled = played.seat ? Math.max(0, played.seat.at_m - x) : 0;
    position_m[i] = 0.005 + x + 4e-6 * random.normal();
    force_N[i] =
      gas +
      played.spring_N_per_m * x +
      played.friction_N * state +
      played.damping_Ns_per_m * v +
      (played.stop?.stiffness_N_per_m ?? 0) * depth ** (played.stop?.power ?? 1) -
      (played.seat?.stiffness_N_per_m ?? 0) * pulled ** (played.seat?.power ?? 1) +
      played.noise_N * random.normal();
  }
  return [position_m, force_N];
}

const swept = (change: Partial<Played>, seed = 1) => {
  const outcome = travelSweep(...playSweep({ ...sound, ...change }, randomFrom(seed)));
  if (!outcome.ok) throw new Error(`${outcome.refusal.code}: ${outcome.refusal.found}`);
  return outcome.travel;
};

describe('a travel sweep', () => {
  it('of a sound shock shows no contact, whatever its gas, spring, seal and oil do', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const random = randomFrom(100 + seed);
      const travel = swept(
        {
          spring_N_per_m: random.uniform(0, 300),
          friction_N: random.uniform(0.1, 1.5),
          damping_Ns_per_m: random.uniform(0, 80),
        },
        seed,
      );
      expect([travel.contact, travel.fullExtension]).toEqual([null, null]);
      expect(travel.atLeast).toBe(true);
      expect(travel.travel_m.value).toBeCloseTo(0.022, 4);
    }
  });

  it('shows a hard stop within 0.02 mm, and in the recording’s own coordinate', () => {
    for (let seed = 1; seed <= 10; seed++) {
      const at_m = randomFrom(seed).uniform(0.0195, 0.0215);
      const { contact, travel_m } = swept(
        { stop: { at_m, stiffness_N_per_m: 120e3 }, spring_N_per_m: 200 },
        seed,
      );
      expect(contact!.kind).toBe('hard');
      expect(Math.abs(contact!.position_m.value - (0.005 + at_m))).toBeLessThan(0.02e-3);
      expect(Math.abs(travel_m.value - at_m)).toBeLessThan(0.03e-3);
    }
  });

  it('shows a soft stop within 0.15 mm, whether its rate is sudden or grows', () => {
    for (const [stiffness_N_per_m, power] of [
      [6e3, 1],
      [1.5e6, 2],
    ] as const)
      for (let seed = 1; seed <= 5; seed++) {
        const { contact } = swept({ stop: { at_m: 0.018, stiffness_N_per_m, power } }, seed);
        expect(contact!.kind).toBe('soft');
        expect(Math.abs(contact!.position_m.value - 0.023)).toBeLessThan(0.15e-3);
      }
  });

  it('feels both ends and measures the travel between them', () => {
    const { travel_m, atLeast, fullExtension } = swept({
      stop: { at_m: 0.0205, stiffness_N_per_m: 100e3 },
      seat: { at_m: 0.0012, stiffness_N_per_m: 60e3 },
    });
    expect(atLeast).toBe(false);
    expect(fullExtension!.kind).toBe('hard');
    expect(Math.abs(travel_m.value - 0.0193)).toBeLessThan(0.03e-3);
  });

  it('has an interval for the contact that mostly holds it', () => {
    let covered = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const { contact } = swept({ stop: { at_m: 0.0202, stiffness_N_per_m: 80e3 } }, seed);
      const { low95, high95 } = contact!.position_m;
      if (low95 < 0.0252 && high95 > 0.0252) covered++;
    }
    expect(covered).toBeGreaterThan(34);
  });

  it('is refused where it shows nothing', () => {
    const [position_m, force_N] = playSweep(sound, randomFrom(1));
    const codeOf = (...channels: [Float64Array, Float64Array]) => {
      const outcome = travelSweep(...channels);
      return outcome.ok ? 'swept' : outcome.refusal.code;
    };
    expect(codeOf(position_m.slice(0, 20), force_N.slice(0, 20))).toBe('too-few-samples');
    expect(codeOf(position_m, force_N.slice(1))).toBe('unequal-channels');
    expect(
      codeOf(
        position_m.map((x) => x / 50),
        force_N,
      ),
    ).toBe('no-travel');
    expect(codeOf(position_m.with(3, Number.NaN), force_N)).toBe('not-finite');
  });
});

describe('a spacer', () => {
  const standing = { travel_m: 0.022, standing_m: 0.009 };
  const spaced = (spacers: { underPiston_m: number; outside_m: number }) => {
    const outcome = withSpacers(standing, spacers);
    if (!outcome.ok) throw new Error(outcome.refusal.found);
    return outcome.spaced;
  };

  it('under the piston takes its own length from the way down and none from the way up', () => {
    const { travel_m, down_m, up_m, shorter_m } = spaced({ underPiston_m: 3e-3, outside_m: 0 });
    expect(travel_m).toBeCloseTo(0.019, 12);
    expect(down_m).toBeCloseTo(0.006, 12);
    expect(up_m).toBeCloseTo(0.013, 12);
    expect(shorter_m).toBe(3e-3);
  });

  it('outside the body takes it from the way up', () => {
    const { down_m, up_m } = spaced({ underPiston_m: 0, outside_m: 2e-3 });
    expect(down_m).toBeCloseTo(0.009, 12);
    expect(up_m).toBeCloseTo(0.011, 12);
  });

  it('longer than the drop lifts the vehicle instead', () => {
    const { down_m, up_m } = spaced({ underPiston_m: 11e-3, outside_m: 0 });
    expect(down_m).toBe(0);
    expect(up_m).toBeCloseTo(0.011, 12);
  });

  it('that leaves no travel is refused, as is a negative one', () => {
    const codeOf = (underPiston_m: number) => {
      const outcome = withSpacers(standing, { underPiston_m, outside_m: 0 });
      return outcome.ok ? 'spaced' : outcome.refusal.code;
    };
    expect(codeOf(0.03)).toBe('no-travel-left');
    expect(codeOf(-1e-3)).toBe('bad-length');
  });
});

describe('what touches first', () => {
  const lengths = { inside_m: 31e-3, pistonThickness_m: 2.5e-3, nut_m: 3e-3, underPiston_m: 0 };

  it('is the stop where there is room left for the piston', () => {
    expect(firstTouch(lengths, 22e-3).first).toBe('stop');
    expect(firstTouch(lengths, 22e-3).margin_m).toBeCloseTo(3.5e-3, 12);
  });

  it('is the piston where there is not, and a spacer under it can bring that about', () => {
    expect(firstTouch({ ...lengths, underPiston_m: 4e-3 }, 22e-3).first).toBe('piston');
    expect(firstTouch(lengths, 25.4e-3).first).toBe('both');
  });
});
