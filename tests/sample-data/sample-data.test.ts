import { describe, expect, it } from 'vitest';
import type { TraceInput } from '../../analysis/index.js';
import { traceCsv } from '../../daq/csv/write-trace-csv.js';
import { pistonShape } from '../../daq/files/piston-file.js';
import { shelfShape } from '../../daq/files/shelf-file.js';
import { defaultSpeedLadder } from '../../daq/procedures.js';
import {
  noRemountSpread,
  ownedRig,
  type SimulatedBuildName,
  type SimulatedChannels,
  type SimulatedShock,
  simulateChannels,
  simulatedBuilds,
  testPieces,
  truthOf,
} from '../../daq/simulated-rig/index.js';

/** Everything in sample-data is invented: played by the simulated rig from this seed. */
const seed = 2026;
const file = (name: string) => `../../sample-data/${name}`;
const pretty = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`;

function recordingCsv(build: SimulatedBuildName, mountNumber: number): string {
  const { force, position, temperature } = simulateChannels({
    shock: simulatedBuilds[build],
    seed,
    mountNumber,
    script: defaultSpeedLadder.steps,
  });
  return [...traceCsv({ ...rounded(force, position), temperature }, 12)].join('');
}

/** Slow turns of a crank with slow converters, as for springs and stops. */
function slowTurnsCsv(shock: SimulatedShock, turns_per_s: number): string {
  const owned = ownedRig(seed);
  const { force, position } = simulateChannels({
    shock,
    seed,
    hardware: {
      ...owned,
      cell: { ...owned.cell, declared_Hz: 80 },
      position: { ...owned.position, declared_Hz: 100 },
    },
    script: [{ speed_rev_per_s: turns_per_s, duration_s: 2.2 / turns_per_s }],
  });
  return [...traceCsv(rounded(force, position), 12)].join('');
}

const stopped = { ...simulatedBuilds['stop-inside'], name: 'shock with a stop' };

const rounded = (
  force: SimulatedChannels['force'],
  position: SimulatedChannels['position'],
): Pick<TraceInput, 'force' | 'position'> => ({
  force: { time_s: force.time_s, force_N: force.measured.map((value) => round(value, 1e5)) },
  position: { time_s: position.time_s, position_m: position.measured.map((value) => round(value, 1e8)) },
});

const round = (value: number, perUnit: number) => Math.round(value * perUnit) / perUnit;

/** The drilled piston's damping at 25 °C, as a curve to reach. */
function targetCsv(): string {
  const { mounted, hardware } = simulateChannels({
    shock: simulatedBuilds['drilled-piston'],
    seed,
    spread: noRemountSpread,
    script: [],
  });
  const truth = truthOf(mounted, hardware);
  const speeds = [20, 50, 100, 150, 200, 250];
  const rows = [...speeds.map((speed) => -speed).reverse(), ...speeds].map(
    (speed) => `${speed},${truth.damping_N(speed / 1000, 25).toFixed(3)},25`,
  );
  return ['velocity_mm_per_s,force_N,temperature_degC', ...rows, ''].join('\n');
}

/** The stock piston as its owner would measure it with a caliper and pin gauges. */
const piston = {
  name: 'stock piston (invented)',
  bore_mm: 12.7,
  rod_mm: 3.5,
  holes: 4,
  hole_mm: 1.5,
  thickness_mm: 2.5,
  oil_cSt: 350,
  oil_density_kg_per_m3: 968,
};

const shelf = {
  oils: [300, 350, 400, 500].map((oil_cSt) => ({
    name: `invented oil ${oil_cSt} cSt`,
    oil_cSt,
    oil_density_kg_per_m3: 968,
  })),
  pistons: [piston],
  drills_mm: [1.5, 1.55, 1.6, 1.65, 1.7],
  seals: [{ name: 'draggy seal (invented)' }, { name: 'low-drag seal (invented)' }],
  springs: [
    { name: 'soft spring (invented)', rate_N_per_mm: 0.21 },
    { name: 'firm spring (invented)', rate_N_per_mm: 0.3 },
  ],
};

describe('sample-data comes out of its seed byte for byte (npm run samples writes it anew)', () => {
  for (const build of ['draggy-seal', 'low-drag-seal'] as const)
    for (const mountNumber of [1, 2, 3])
      it(`${build}-${mountNumber}.csv`, async () => {
        await expect(recordingCsv(build, mountNumber)).toMatchFileSnapshot(
          file(`${build}-${mountNumber}.csv`),
        );
      });

  it('spring-pull.csv and travel-sweep.csv', async () => {
    await expect(slowTurnsCsv(testPieces['dry-spring'], 0.06)).toMatchFileSnapshot(file('spring-pull.csv'));
    await expect(slowTurnsCsv(stopped, 0.06)).toMatchFileSnapshot(file('travel-sweep.csv'));
  });

  it('target.csv', async () => {
    await expect(targetCsv()).toMatchFileSnapshot(file('target.csv'));
  });

  it('piston.json and shelf.json, which their own readers accept', async () => {
    expect(pistonShape.safeParse(piston).success).toBe(true);
    expect(shelfShape.safeParse(shelf).success).toBe(true);
    await expect(pretty(piston)).toMatchFileSnapshot(file('piston.json'));
    await expect(pretty(shelf)).toMatchFileSnapshot(file('shelf.json'));
  });
});
