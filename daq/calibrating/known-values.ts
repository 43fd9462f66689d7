import { directionsOf, type KnownReading } from '../../analysis/calibration/index.js';
import type { RigLink } from '../link/rig-link.js';
import { type SteadyReading, steadyReading } from './steady-reading.js';

/** One thing for a person to do, before the rig is read. */
export interface GuidedStep {
  readonly what: 'hang-mass' | 'hold-length' | 'turn-crank' | 'unload' | 'push' | 'extend' | 'compress';
  /** kg, or m; 0: nothing hung, full extension. */
  readonly value: number;
  readonly direction: 'up' | 'down';
  /** Which run, from 1, of how many. */
  readonly run: number;
  readonly runs: number;
  /** Which step of all, from 1, of how many. */
  readonly step: number;
  readonly steps: number;
}

/** The person at the rig, or a test in their place. Both reject when the signal aborts. */
export interface Operator {
  /** Resolves when the step was done and the rig may be read. */
  ready(step: GuidedStep, signal: AbortSignal | undefined): Promise<void>;
  /** Where the person measures: the value in m. */
  measured(step: GuidedStep, signal: AbortSignal | undefined): Promise<number>;
  /** What was read, so far as it is known. */
  reading?(step: GuidedStep, reading: SteadyReading): void;
  progress?(step: GuidedStep, counts: number): void;
}

export interface KnownValuesPlan {
  readonly what: 'hang-mass' | 'hold-length';
  /** Increasing, without 0. */
  readonly values: readonly number[];
  readonly runs: number;
  /** The quantity that a value stands for: N for kg, m for m. */
  readonly quantityOf: (value: number) => number;
}

/**
 * Leads through known values: nothing, up through all, down again, nothing; as often as there are runs.
 * @returns the readings in the order taken
 * @throws DaqError of the link, 'not-steady'; the signal's reason when it aborts, and then nothing is kept
 */
export async function readKnownValues(
  link: RigLink,
  { what, values, runs, quantityOf }: KnownValuesPlan,
  operator: Operator,
  signal?: AbortSignal,
): Promise<KnownReading[]> {
  const once = [0, ...values, ...values.slice(0, -1).reverse(), 0];
  const directions = directionsOf(once);
  const kind = what === 'hang-mass' ? 'force' : 'position';
  const readings: KnownReading[] = [];
  for (let run = 1; run <= runs; run++) {
    for (const [i, value] of once.entries()) {
      const step: GuidedStep = {
        what,
        value,
        direction: directions[i]!,
        run,
        runs,
        step: readings.length + 1,
        steps: runs * once.length,
      };
      await operator.ready(step, signal);
      const reading = await steadyReading(link, kind, {
        ...(signal && { signal }),
        onProgress: ({ counts }) => operator.progress?.(step, counts),
      });
      operator.reading?.(step, reading);
      readings.push({
        series: run,
        value: quantityOf(value),
        direction: step.direction,
        reading_counts: reading.counts,
        temperature_degC: reading.temperature_degC,
      });
    }
  }
  return readings;
}

/**
 * Leads through positions of the crank that the person chooses and measures.
 * @param count how many, spread over a whole turn
 * @returns counts of the angle sensor and measured positions, equal lengths
 */
export async function readCrankPositions(
  link: RigLink,
  count: number,
  operator: Operator,
  signal?: AbortSignal,
): Promise<{ readonly counts: Float64Array; readonly position_m: Float64Array }> {
  const counts = new Float64Array(count);
  const position_m = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const step: GuidedStep = {
      what: 'turn-crank',
      value: i / count,
      direction: 'up',
      run: 1,
      runs: 1,
      step: i + 1,
      steps: count,
    };
    position_m[i] = await operator.measured(step, signal);
    const reading = await steadyReading(link, 'position', {
      ...(signal && { signal }),
      onProgress: ({ counts: now }) => operator.progress?.(step, now),
    });
    operator.reading?.(step, reading);
    counts[i] = reading.counts;
  }
  return { counts, position_m };
}
