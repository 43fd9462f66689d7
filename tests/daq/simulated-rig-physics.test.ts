import { describe, expect, it } from 'vitest';
import { simulatedBuilds } from '../../daq/simulated-rig/builds.js';
import { viscosity_m2_per_s } from '../../daq/simulated-rig/oil.js';
import { exactRig } from '../../daq/simulated-rig/owned-rig.js';
import { dropForFlow_Pa, flowForDrop_m3_per_s, pistonFlow } from '../../daq/simulated-rig/piston-flow.js';
import { playedRig } from '../../daq/simulated-rig/played-rig.js';
import { playedShock } from '../../daq/simulated-rig/played-shock.js';
import { type MountedShock, mountShock, noRemountSpread } from '../../daq/simulated-rig/remount.js';
import type { RigHardware } from '../../daq/simulated-rig/rig-hardware.js';
import { type SealFriction, sealFriction } from '../../daq/simulated-rig/seal-friction.js';
import {
  annulus_m2,
  atmosphere_Pa,
  type SimulatedSeal,
  type SimulatedShock,
  shaft_m2,
} from '../../daq/simulated-rig/shock-parameters.js';
import { truthOf } from '../../daq/simulated-rig/truth.js';

const sound = simulatedBuilds['low-drag-seal'];
const aired = simulatedBuilds['air-in-oil'];

function mounted(shock: SimulatedShock): MountedShock {
  return { ...mountShock(shock, 1, 1, 25, noRemountSpread), offset_m: 0 };
}

interface SineOptions {
  readonly frequency_Hz: number;
  readonly half_m?: number;
  readonly cycles?: number;
  /** How many steps to make of one; only the last of them is kept. */
  readonly finer?: number;
}

type Cycle = {
  position_m: number;
  travel_m: number;
  force_N: number;
  seal_N: number;
  damping_N: number;
  gas_N: number;
  heat_J: number;
}[];

/** Plays a sine from rest at full extension and gives the last of its cycles, step by step. */
function playSine(
  shock: SimulatedShock,
  { frequency_Hz, half_m = 12e-3, cycles = 4, finer = 1 }: SineOptions,
): Cycle {
  const dt_s = 20e-6 / finer;
  const start = { position_m: 0, oil_degC: 25, room_degC: 25, sideLoad: 0, halfStroke_m: half_m };
  const played = playedShock(shock, start);
  const omega = 2 * Math.PI * frequency_Hz;
  const steps = Math.round(1 / frequency_Hz / dt_s);
  let before_m = 0;
  const last: Cycle = [];
  for (let i = 1; i <= cycles * steps; i++) {
    const position_m = half_m * (1 - Math.cos(omega * i * dt_s));
    const travel_m = position_m - before_m;
    played.step(position_m, travel_m, dt_s);
    before_m = position_m;
    if (i <= (cycles - 1) * steps) continue;
    const { force_N, seal_N, damping_N, gas_N, heat_J } = played;
    if (i % finer === 0) last.push({ position_m, travel_m, force_N, seal_N, damping_N, gas_N, heat_J });
  }
  return last;
}

describe('the seal', () => {
  /** Canudas de Wit, Olsson, Åström, Lischinsky, IEEE Trans. Autom. Control 40(3) (1995), Table I. */
  const tableI: SimulatedSeal = {
    sliding_N: { compression: 1, rebound: 1 },
    breakawayRatio: 1.5,
    stribeck_m_per_s: 0.001,
    stiffness_N_per_m: 1e5,
    shearDamping_Ns_per_m: Math.sqrt(1e5),
    viscous_Ns_per_m: 0.4,
    energised_N_per_Pa: 0,
  };

  it.each([
    [1e-4, 1.495065],
    [5e-4, 1.3896],
    [1e-3, 1.18434],
    [2e-3, 1.009958],
    [5e-3, 1.002],
    [0.1, 1.04],
  ])('slides at %d m/s with the force of the published model, %d N', (speed, force_N) => {
    for (const sign of [1, -1]) {
      const seal = sealFriction(tableI);
      let last = 0;
      for (let moved_m = 0; moved_m < 1e-3; moved_m += speed * 20e-6)
        last = seal.step(sign * speed * 20e-6, 20e-6, 0);
      expect(last).toBeCloseTo(sign * force_N, 6);
    }
  });

  /** Published experiment: unit mass, spring of 2 N/m pulled at 0.1 m/s. Times recomputed with Radau, rtol 1e-8. */
  it('sticks and slips on a spring with the published model’s period', () => {
    const seal = sealFriction(tableI);
    const dt_s = 20e-6;
    let position_m = 0;
    let velocity = 0;
    let friction_N = 0;
    let largest = 0;
    const slips_s: number[] = [];
    let slipping = false;
    for (let i = 1; i * dt_s < 22; i++) {
      velocity += (2 * (0.1 * i * dt_s - position_m) - friction_N) * dt_s;
      position_m += velocity * dt_s;
      friction_N = seal.step(velocity * dt_s, dt_s, 0);
      if (velocity > 0.01 && !slipping) slips_s.push(i * dt_s);
      slipping = velocity > 0.01;
      largest = Math.max(largest, velocity);
    }
    expect(slips_s).toHaveLength(3);
    expect(slips_s[2]! - slips_s[1]!).toBeCloseTo(6.362, 1);
    expect(largest).toBeCloseTo(0.3698, 2);
  });

  it('keeps the friction it had while the shaft stands', () => {
    const seal: SealFriction = sealFriction(sound.seal);
    let sliding_N = 0;
    for (let i = 0; i < 100; i++) sliding_N = seal.step(1e-5, 1e-3, 0);
    const held_N = seal.step(0, 10, 0);
    expect(held_N).toBeGreaterThan(0.9 * sliding_N);
    expect(seal.step(0, 10, 0)).toBe(held_N);
  });

  it('is the same in 20 µs steps as in 1 µs steps', () => {
    const coarse = playSine(simulatedBuilds['draggy-seal'], { frequency_Hz: 2, cycles: 2 });
    const fine = playSine(simulatedBuilds['draggy-seal'], { frequency_Hz: 2, cycles: 2, finer: 20 });
    for (const [i, { seal_N }] of coarse.entries())
      expect(Math.abs(seal_N - fine[i]!.seal_N)).toBeLessThan(2e-4);
  });
});

describe('oil and piston', () => {
  it.each([
    [0, 1.7228],
    [10, 1.3724],
    [20, 1.1103],
    [40, 0.7569],
    [60, 0.5402],
  ])('thin the oil at %d °C as the published relation for silicone does', (degC, ratio) => {
    const oil = { viscosity25_m2_per_s: 1, density25_kg_per_m3: 968 };
    // The relation gives 1.0040 at 25 °C, where it should give 1.
    expect(viscosity_m2_per_s(oil, degC)).toBeCloseTo(ratio / 1.004, 3);
  });

  it('leak past the piston as in Fox & McDonald, 5th ed., example 8.1: 57.57 mm³/s', () => {
    const piston = { ...sound.piston, thickness_m: 15e-3, gap_m: 5e-6, eccentricity: 0 };
    const oil = { viscosity25_m2_per_s: 0.018 / 920, density25_kg_per_m3: 920 };
    const flow = pistonFlow(piston, 25e-3, oil, 25);
    expect(flow.gap_m3_per_s_Pa * 19e6 * 1e9).toBeCloseTo(57.5716, 3);
  });

  it('drop 40 889 Pa per metre of hole as in Massey & Ward-Smith, 8th ed., example 6.1', () => {
    const oil = { viscosity25_m2_per_s: 0.08 / 830, density25_kg_per_m3: 830 };
    const through = (Math.PI / 4) * 0.012 ** 2 * 2.3;
    const [short, long] = [1, 2].map((thickness_m) => {
      const flow = pistonFlow({ ...sound.piston, holes: 1, hole_m: 0.012, thickness_m }, 0.1, oil, 25);
      return flow.laminar_Pa_s_per_m3 * through;
    });
    expect(long! - short!).toBeCloseTo(40_888.889, 2);
  });

  it('give back the flow that made a drop, in both directions', () => {
    const flow = pistonFlow(sound.piston, sound.bore_m, sound.oil, 25);
    for (const through of [-3e-5, -1e-7, 2e-6, 4e-5])
      expect(flowForDrop_m3_per_s(flow, dropForFlow_Pa(flow, through, 1), 1) / through).toBeCloseTo(1, 12);
  });
});

describe('a cycle', () => {
  const cases: [string, SimulatedShock, number][] = [
    ['a sound shock, slowly', sound, 0.5],
    ['a sound shock, fast', simulatedBuilds['draggy-seal'], 3],
    ['torn oil', simulatedBuilds['oil-500'], 4],
    ['air in the oil', aired, 2],
  ];

  it.each(cases)('turns all work done on the shaft into heat: %s', (_, shock, frequency_Hz) => {
    const cycle = playSine(shock, { frequency_Hz });
    let work_J = 0;
    let parts_J = 0;
    let before = cycle.at(-1)!;
    for (const now of cycle) {
      work_J += 0.5 * (now.force_N + before.force_N) * now.travel_m;
      parts_J += (now.seal_N + now.damping_N + now.gas_N) * now.travel_m;
      before = now;
    }
    const heat_J = (cycle.at(-1)!.heat_J - cycle[0]!.heat_J) * (cycle.length / (cycle.length - 1));
    expect(parts_J / work_J).toBeCloseTo(1, 3);
    // The gas cap keeps a little of the work: it warms the cap instead of the oil.
    expect(heat_J / work_J).toBeGreaterThan(0.99);
    expect(heat_J / work_J).toBeLessThan(1.003);
  });

  it('does the work that textbooks give for a sine: π·c·ω·X² and 4·F·(X − δ)', () => {
    const piston = { ...sound.piston, loss: { compression: 0, rebound: 0 } };
    const seal = { ...sound.seal, breakawayRatio: 1, viscous_Ns_per_m: 0, shearDamping_Ns_per_m: 0 };
    const shock = { ...sound, piston, seal: { ...seal, energised_N_per_Pa: 0 } };
    const flow = pistonFlow(piston, shock.bore_m, shock.oil, 25);
    const area = annulus_m2(shock) - flow.gapDrag_m2;
    const resistance = flow.laminar_Pa_s_per_m3 / (1 + flow.gap_m3_per_s_Pa * flow.laminar_Pa_s_per_m3);
    const c_Ns_per_m = area * area * resistance + flow.gapShear_Ns_per_m;
    const half_m = 12e-3;
    const cycle = playSine(shock, { frequency_Hz: 1, half_m });
    const sum = (part: 'damping_N' | 'seal_N') =>
      cycle.reduce((work, now) => work + now[part] * now.travel_m, 0);
    expect(sum('damping_N') / (Math.PI * c_Ns_per_m * 2 * Math.PI * half_m ** 2)).toBeCloseTo(1, 4);
    const { compression, rebound } = shock.seal.sliding_N;
    const mean_N = (compression + rebound) / 2;
    const friction_J = 4 * mean_N * (half_m - mean_N / seal.stiffness_N_per_m);
    expect(sum('seal_N') / friction_J).toBeCloseTo(1, 3);
  });
});

describe('compression', () => {
  const thick = {
    ...sound,
    oil: { ...sound.oil, viscosity25_m2_per_s: 1000e-6 },
    piston: { ...sound.piston, hole_m: 1.3e-3 },
  };

  it('stops rising at the ceiling, and rebound does not', () => {
    const cycle = playSine(thick, { frequency_Hz: 3 });
    const ceilings = cycle.map(({ gas_N }) => {
      const gas_Pa = gas_N / shaft_m2(thick) + atmosphere_Pa;
      return (gas_Pa - thick.release_Pa) * annulus_m2(thick);
    });
    const shares = cycle.map(({ damping_N }, i) => damping_N / ceilings[i]!);
    // The gap's shear on the piston adds a little to what the pressure can do.
    expect(Math.max(...shares)).toBeLessThan(1.03);
    expect(shares.filter((share) => share > 0.97).length).toBeGreaterThan(0.2 * cycle.length);
    expect(Math.min(...shares)).toBeLessThan(-1.5);
  });

  it('leaves a void that delays the next rebound only', () => {
    const cycle = playSine(thick, { frequency_Hz: 3 });
    const firstResistance_m = (sign: number) =>
      cycle.find(({ travel_m, damping_N }) => travel_m * sign > 0 && damping_N * sign > 1)!.position_m;
    expect(24e-3 - firstResistance_m(-1)).toBeGreaterThan(1e-3);
    expect(firstResistance_m(1)).toBeLessThan(0.2e-3);
  });
});

describe('air in the oil', () => {
  it('delays damping after both reversals and at every speed', () => {
    for (const frequency_Hz of [0.5, 2]) {
      const cycle = playSine(aired, { frequency_Hz });
      const clean = playSine({ ...aired, air: { bubbles_m3: 0, pocket_m3: 0 } }, { frequency_Hz });
      const half = (sign: number) =>
        cycle.find(
          ({ damping_N }, i) =>
            clean[i]!.damping_N * sign > 0.1 && damping_N * sign > 0.5 * clean[i]!.damping_N * sign,
        )!.position_m;
      expect(half(1)).toBeGreaterThan(0.5e-3);
      expect(24e-3 - half(-1)).toBeGreaterThan(0.5e-3);
    }
  });

  it('is stepped finely enough: 20 µs and 2 µs differ by under 0.2 % of the force', () => {
    const coarse = playSine(aired, { frequency_Hz: 2, cycles: 2 });
    const fine = playSine(aired, { frequency_Hz: 2, cycles: 2, finer: 10 });
    const largest_N = Math.max(...fine.map(({ damping_N }) => damping_N));
    for (const [i, { damping_N }] of coarse.entries())
      expect(Math.abs(damping_N - fine[i]!.damping_N)).toBeLessThan(2e-3 * largest_N);
  });
});

describe('the rig', () => {
  const quietly: RigHardware = { ...exactRig, cell: { ...exactRig.cell, kernel: 'none' } };

  function record(hardware: RigHardware, shock: SimulatedShock, speed: number, until_s: number) {
    const rig = playedRig(hardware, mounted(shock), 1);
    const force: [number, number][] = [];
    const position: [number, number][] = [];
    rig.drive.command(speed);
    rig.playUntil(until_s, {
      force: (time_s, _, played_N) => force.push([time_s, played_N]),
      position: (time_s, _, played_m) => position.push([time_s, played_m]),
      temperature() {},
    });
    return { rig, force, position };
  }

  it('strokes twice the crank radius, as a slider-crank does and not as a sine', () => {
    const { rig, position } = record(quietly, sound, 1, 5);
    expect(Math.max(...position.map(([, x]) => x))).toBeCloseTo(24e-3, 6);
    expect(Math.min(...position.slice(400).map(([, x]) => x))).toBeCloseTo(0, 6);
    const quarter_m = 12e-3 + 60e-3 - Math.sqrt(60e-3 ** 2 - 12e-3 ** 2);
    const quarter = playedRig(quietly, mounted(sound), 1);
    quarter.drive.command(0.5);
    while (quarter.drive.angle_rad < Math.PI / 2) quarter.playUntil(quarter.time_s + 1e-5, null);
    expect(quarter.drive.position_m).toBeCloseTo(quarter_m, 5);
    expect(rig.drive.speed_rev_per_s).toBe(1);
  });

  it('lets the cell feel the mass in motion', () => {
    const light = record(quietly, { ...sound, movingMass_kg: 1e-9 }, 3, 2);
    const heavy = record(quietly, { ...sound, movingMass_kg: 0.1 }, 3, 2);
    const difference_N = heavy.force.map(([, force], i) => force - light.force[i]![1]);
    // Slider-crank: acceleration is largest at the outer dead centre, R·ω²·(1 + R/L).
    const largest = 12e-3 * (6 * Math.PI) ** 2 * (1 + 12 / 60);
    expect(Math.max(...difference_N.slice(320)) / (0.1 * largest)).toBeCloseTo(1, 2);
  });

  it.each([
    ['one-conversion', 1],
    ['sinc3', 3],
    ['sinc4', 4],
  ] as const)('averages by %s as a cascade of running means does', (kernel, order) => {
    const rate_Hz = 80;
    const cell = { ...exactRig.cell, kernel, declared_Hz: rate_Hz };
    const averaged = record({ ...exactRig, cell }, sound, 2, 3).force;
    const fineRate_Hz = 16_000;
    const instant = record({ ...quietly, cell: { ...quietly.cell, declared_Hz: fineRate_Hz } }, sound, 2, 3);
    const window = fineRate_Hz / rate_Hz;
    let means = instant.force.map(([, force]) => force);
    for (let pass = 0; pass < order; pass++) means = runningMean(means, window);
    // A mean over n points stands for an instant half a step later than the integral's, once for each pass.
    for (const [i, [, force]] of averaged.entries()) {
      const at = (i + 1) * window - 1 - order / 2;
      const expected_N = 0.5 * (means[Math.floor(at)]! + means[Math.ceil(at)]!);
      if (i > 10) expect(Math.abs(force - expected_N)).toBeLessThan(0.002);
    }
  });

  it('heats the oil by the work done and cools when left alone', () => {
    const { rig, force, position } = record(quietly, sound, 3, 20);
    expect(force.length).toBe(6400);
    expect(position.length).toBe(8000);
    const warm_degC = rig.shock.oil_degC;
    expect(warm_degC).toBeGreaterThan(25.1);
    const heatCapacity_J_per_K = 18.5;
    expect(warm_degC - 25).toBeLessThan((1.5 * rig.shock.heat_J) / heatCapacity_J_per_K);
    rig.drive.command(0);
    rig.playUntil(3600, null);
    expect(rig.shock.oil_degC).toBeLessThan(25 + 0.1 * (warm_degC - 25));
    expect(rig.shock.body_degC).toBeGreaterThan(exactRig.room_degC);
  });

  it('plays the damping that its truth tells', () => {
    const { rig } = record(quietly, sound, 2, 0);
    const truth = truthOf(mounted(sound), quietly);
    rig.drive.command(2);
    let before_m = 0;
    let compared = 0;
    rig.playUntil(1, null);
    for (let i = 0; i < 2000; i++) {
      before_m = rig.drive.position_m;
      const before_s = rig.time_s;
      rig.playUntil(before_s + 2e-5, null);
      const velocity = (rig.drive.position_m - before_m) / (rig.time_s - before_s);
      if (Math.abs(velocity) < 0.02) continue;
      const told_N = truth.damping_N(velocity, rig.shock.oil_degC);
      // The truth counts the seal's own viscous part and what the pressure adds to its drag as damping.
      expect(Math.abs(rig.shock.damping_N - told_N)).toBeLessThan(0.04);
      compared++;
    }
    expect(compared).toBeGreaterThan(500);
  });

  it('hangs on an elastic mount with play without losing force or motion', () => {
    const mount = { stiffness_N_per_m: 1e5, damping_Ns_per_m: 5, play_m: 0 };
    const stiff = record({ ...exactRig, mount: exactRig.mount }, sound, 1, 3).force;
    const soft = record({ ...exactRig, mount }, sound, 1, 3).force;
    for (const [i, [, force]] of soft.entries())
      if (i > 320) expect(Math.abs(force - stiff[i]![1])).toBeLessThan(0.15);
    const loose = record({ ...exactRig, mount: { ...mount, play_m: 0.5e-3 } }, sound, 1, 3).force;
    const nearZero = loose.slice(320).filter(([, force]) => Math.abs(force) < 0.05).length;
    expect(nearZero).toBeGreaterThan(soft.slice(320).filter(([, force]) => Math.abs(force) < 0.05).length);
  });
});

function runningMean(values: readonly number[], window: number): number[] {
  const means: number[] = [];
  let sum = 0;
  for (const [i, value] of values.entries()) {
    sum += value - (i >= window ? values[i - window]! : 0);
    means.push(sum / Math.min(i + 1, window));
  }
  return means;
}
