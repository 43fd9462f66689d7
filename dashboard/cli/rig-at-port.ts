import type { RigLink } from '../../daq/index.js';
import type { SimulatedRig, TestPieceName } from '../../daq/simulated-rig/index.js';

/** Seed of the rig that is played when `--port simulated-rig` asks for practice. */
export const PRACTICE_SEED = 1;

export interface RigAtPort {
  readonly link: RigLink;
  /** The played rig, whose owner does at once what is asked; null for a real one. */
  readonly played: SimulatedRig | null;
}

/**
 * Opens the rig on a port, or the simulated one by its name, in simulated time.
 * @param piece what is mounted on the simulated one
 */
export async function openRig(
  path: string,
  baud: number | undefined,
  piece: TestPieceName,
): Promise<RigAtPort> {
  const { DEFAULT_BAUD, openRigLink } = await import('../../daq/index.js');
  const baudRate = baud ?? DEFAULT_BAUD;
  const { simulatedPortPath, simulatedRig, testPieces } = await import('../../daq/simulated-rig/index.js');
  if (path !== simulatedPortPath) return { link: await openRigLink({ path, baudRate }), played: null };
  const played = simulatedRig({ seed: PRACTICE_SEED, build: testPieces[piece], pace: 'simulated' });
  const { binding, clock } = played;
  return { link: await openRigLink({ path, binding, clock, baudRate }), played };
}
