import type { Logbook, RecordingId } from '../../daq/index.js';
import { defaultSpeedLadder, openRigLink, recordBuild } from '../../daq/index.js';
import {
  type SimulatedBuildName,
  simulatedRig,
  simulatedRigCalibration,
} from '../../daq/simulated-rig/index.js';
import { recordingProgress } from './recording-progress.js';

/** Remounts of each build: the fewest whose spread can be told. */
export const DEMO_REMOUNTS = 3;

/** What the demo plays; invented, and called so. */
export const demoBuilds: readonly {
  readonly plays: SimulatedBuildName;
  readonly name: string;
  readonly change: string;
}[] = [
  { plays: 'draggy-seal', name: 'draggy seal', change: '' },
  { plays: 'low-drag-seal', name: 'low-drag seal', change: 'seal swapped' },
];

export interface DemoRecording {
  readonly build: string;
  readonly recordingId: RecordingId;
}

/**
 * Records both builds on the simulated rig, each in several mountings, through the same link, parser and logbook
 * as a real rig, in simulated time. Yields each recording when the logbook has it.
 */
export async function* recordDemo(
  logbook: Logbook,
  seed: number,
  signal: AbortSignal,
): AsyncGenerator<DemoRecording> {
  const rig = simulatedRig({ seed, build: demoBuilds[0]!.plays, pace: 'simulated' });
  const link = await openRigLink({ path: rig.path, binding: rig.binding, clock: rig.clock });
  try {
    const { rigName } = link.identity();
    logbook.addCalibration(
      logbook.rigNamed(rigName),
      simulatedRigCalibration,
      'as its invented owner measured it',
    );
    const shock = logbook.createShock({ name: 'invented shock' });
    for (const { plays, name, change } of demoBuilds) {
      const build = logbook.createBuild({
        shockId: shock.id,
        name,
        change,
        parentBuildId: logbook.listBuilds().at(-1)?.id ?? null,
        properties: { seal: name, simulated: true },
      });
      for (let remount = 1; remount <= DEMO_REMOUNTS; remount++) {
        rig.mount(plays, remount);
        const progress = recordingProgress(`${name}, mounting ${remount} of ${DEMO_REMOUNTS}`);
        const { recordingId } = await recordBuild({
          link,
          logbook,
          buildId: build.id,
          procedure: defaultSpeedLadder,
          simulated: { seed },
          onProgress: progress.show,
          signal,
        }).finally(progress.clear);
        if (signal.aborted) return;
        yield { build: name, recordingId };
      }
    }
  } finally {
    await link.close();
  }
}
