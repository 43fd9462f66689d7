import { DaqError } from '../daq-error.js';
import { channelOf } from '../link/rig-identity.js';
import type { RigLink } from '../link/rig-link.js';
import type { RigProfile } from '../rig-profile.js';
import type { Operator } from './known-values.js';
import { type SteadyReading, steadyReading } from './steady-reading.js';

/** What is found out at the rig; the rest of a profile its owner knows. */
export type FoundAtRig = Pick<
  RigProfile,
  'forceSign' | 'positionSign' | 'fullExtension_counts' | 'forceZero_counts' | 'temperature'
>;

/** A change of less than this many standard deviations of a sample is no answer to a push. */
const CLEAR_CHANGE = 4;

/**
 * Finds reversed signs and both zeros of a rig: nothing mounted and fully extended, then a push, then some compression.
 * Never moves the drive.
 * @throws DaqError 'calibration-refused' when a channel does not answer; 'not-steady', the link's own; the signal's
 *   reason when it aborts
 */
export async function guideSetup(
  link: RigLink,
  operator: Operator,
  signal?: AbortSignal,
): Promise<FoundAtRig> {
  const steps = ['unload', 'push', 'extend', 'compress'] as const;
  const read = async (i: number, kind: 'force' | 'position'): Promise<SteadyReading> => {
    const step = {
      what: steps[i]!,
      value: 0,
      direction: 'up',
      run: 1,
      runs: 1,
      step: i + 1,
      steps: steps.length,
    } as const;
    await operator.ready(step, signal);
    const reading = await steadyReading(link, kind, {
      ...(signal && { signal }),
      onProgress: ({ counts }) => operator.progress?.(step, counts),
    });
    operator.reading?.(step, reading);
    return reading;
  };
  const unloaded = await read(0, 'force');
  const forceSign = signOf(link.path, 'force', unloaded, await read(1, 'force'));
  const extended = await read(2, 'position');
  const positionSign = signOf(link.path, 'position', extended, await read(3, 'position'));
  return {
    forceSign,
    positionSign,
    forceZero_counts: unloaded.counts,
    fullExtension_counts: extended.counts,
    temperature: channelOf(link.identity(), 'temperature') ? 'sensor' : 'manual',
  };
}

function signOf(where: string, kind: string, before: SteadyReading, after: SteadyReading): 1 | -1 {
  const change = after.counts - before.counts;
  const noise = Math.max(1, before.standardDeviation_counts, after.standardDeviation_counts);
  if (Math.abs(change) < CLEAR_CHANGE * noise)
    throw new DaqError('calibration-refused', {
      where,
      found: `a ${kind} that changed by ${change.toFixed(1)} counts, with a scatter of ${noise.toFixed(1)}`,
      wanted: `a clear answer: is the ${kind} sensor connected, and was it moved?`,
    });
  return change > 0 ? 1 : -1;
}
