import { type Logbook, openLogbook, openRigLink, recordBuild, speedLadder } from '../../daq/index.js';
import {
  type SimulatedBuildName,
  simulatedRig,
  simulatedRigCalibration,
} from '../../daq/simulated-rig/index.js';

const SEED = 11;

/** Shorter than the usual ladder, with speeds as far apart. */
const ladder = speedLadder([
  { speed_rev_per_s: 0.373, duration_s: 4 },
  { speed_rev_per_s: 1.433, duration_s: 3 },
  { speed_rev_per_s: 3.019, duration_s: 2 },
]);

interface PlannedBuild {
  readonly name: string;
  readonly plays: SimulatedBuildName;
  readonly change: string;
}

const seals: readonly PlannedBuild[] = [
  { name: 'Draggy seal', plays: 'draggy-seal', change: '' },
  { name: 'Low-drag seal', plays: 'low-drag-seal', change: 'seal swapped' },
];

/** Records two invented builds, three remounts each, on the simulated rig in simulated time. */
export async function recordTwoBuilds(path: string, plan = seals): Promise<void> {
  const logbook = openLogbook(path);
  try {
    await record(logbook, plan);
  } finally {
    logbook.close();
  }
}

async function record(logbook: Logbook, plan: readonly PlannedBuild[]): Promise<void> {
  const rig = simulatedRig({ seed: SEED, build: plan[0]!.plays, pace: 'simulated' });
  const link = await openRigLink({ path: rig.path, binding: rig.binding, clock: rig.clock });
  logbook.addCalibration(logbook.rigNamed(link.identity().rigName), simulatedRigCalibration, 'invented');
  const shock = logbook.createShock({ name: 'Invented shock' });
  for (const { name, plays, change } of plan) {
    const parentBuildId = logbook.listBuilds().at(-1)?.id ?? null;
    const { id: buildId } = logbook.createBuild({ shockId: shock.id, name, parentBuildId, change });
    for (let remount = 1; remount <= 3; remount++) {
      rig.mount(plays, remount);
      await recordBuild({ link, logbook, buildId, procedure: ladder, simulated: { seed: SEED } });
    }
  }
  await link.close();
}
