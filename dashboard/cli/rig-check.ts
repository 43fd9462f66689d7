import type { Command } from 'commander';
import type { CheckRigOptions } from '../../daq/index.js';
import { exitStatus } from './failure.js';
import { wholeNumber } from './number-options.js';
import { settingsOf } from './settings.js';

interface RigCheckOptions {
  readonly port: string;
  readonly baud?: number;
  readonly drive?: boolean;
  readonly json?: boolean;
}

export function addRigCheck(program: Command): void {
  program
    .command('rig-check')
    .description('Whether a device keeps the wire protocol, rule by rule')
    .addHelpText(
      'after',
      `
Takes about 8 s, or 12 with --drive. Nothing is recorded, and without --drive nothing moves.

Example: dashpot-bench rig-check --port /dev/ttyACM0
         dashpot-bench rig-check --port simulated-rig`,
    )
    .requiredOption('--port <path>', 'the serial port the device is on, or simulated-rig')
    .option('--baud <number>', 'baud rate (otherwise 250000)', wholeNumber('--baud'))
    .option(
      '--drive',
      'turn the drive too, at its slowest, and let it stop by itself: shock off, a hand at the switch that cuts its power',
    )
    .option('--json', 'all that was found as one JSON document')
    .action(async (_options: unknown, command: Command) => {
      await rigCheck(settingsOf<RigCheckOptions>(command));
    });
}

async function rigCheck({ port, baud, drive = false, json = false }: RigCheckOptions): Promise<void> {
  const [{ checkRig, DEFAULT_BAUD }, { interruption }, { reportRigCheck }] = await Promise.all([
    import('../../daq/index.js'),
    import('./interruption.js'),
    import('./rig-check-report.js'),
  ]);
  const signal = interruption();
  if (drive) await (await import('./cautions.js')).showCautions(signal);
  try {
    signal.throwIfAborted();
    const device = await deviceAt(port);
    reportRigCheck(await checkRig({ ...device, baudRate: baud ?? DEFAULT_BAUD, drive, signal }), port, json);
  } catch (error) {
    if (!signal.aborted) throw error;
    process.exitCode = exitStatus.interrupted;
  }
}

/** A port by its path; the simulated rig, in simulated time, by its name. */
async function deviceAt(path: string): Promise<Pick<CheckRigOptions, 'path' | 'binding' | 'clock'>> {
  const { simulatedPortPath, simulatedRig } = await import('../../daq/simulated-rig/index.js');
  if (path !== simulatedPortPath) return { path };
  const { binding, clock } = simulatedRig({ seed: 1, build: 'low-drag-seal', pace: 'simulated' });
  return { path, binding, clock };
}
