import type { TestPieceName } from '../../daq/simulated-rig/index.js';
import { badInput, exitStatus } from './failure.js';
import { interruption } from './interruption.js';
import { openRig, type RigAtPort } from './rig-at-port.js';

export interface RigOptions {
  readonly port?: string;
  readonly baud?: number;
}

export interface LedRig extends RigAtPort {
  /** What is mounted on the simulated rig. */
  readonly piece: TestPieceName;
  readonly rigName: string;
  readonly signal: AbortSignal;
}

/**
 * Opens a rig, runs a procedure at it and closes it, whatever happens. Ctrl-C ends the procedure, nothing is entered
 * after it, and the exit status says so.
 * @param piece what is mounted on the simulated rig
 * @throws CommandFailure without a port
 */
export async function leadAtRig(
  { port, baud }: RigOptions,
  piece: TestPieceName,
  run: (rig: LedRig) => Promise<void>,
): Promise<void> {
  if (port === undefined)
    throw badInput('no --port', '--port PATH of the rig (`ports` lists them), or a file with readings');
  const signal = interruption();
  const rig = await openRig(port, baud, piece);
  try {
    await run({ ...rig, piece, rigName: rig.link.identity().rigName, signal });
  } catch (error) {
    if (!signal.aborted) throw error;
    process.stderr.write('\nLeft before its end; nothing was entered.\n');
    process.exitCode = exitStatus.interrupted;
  } finally {
    await rig.link.close();
  }
}
