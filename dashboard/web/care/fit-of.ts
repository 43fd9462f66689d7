import {
  type CycleResponse,
  positionFromCrank_m,
  quantityOf,
  type SpringCheck,
  type UnloadedRun,
} from '../../../analysis/index.js';
import type { Evidence } from './evidence.js';

/** A fit as it is drawn: what was read over what it was read at, what the fit says, and the difference by itself. */
export interface DrawnFit {
  readonly points: readonly FittedPoint[];
  readonly xTitle: string;
  readonly yTitle: string;
  readonly offTitle: string;
  /** In words, for the difference. */
  readonly offUnit: string;
  /** Twice the scatter of a single value, in the unit of the difference; null where the points alone tell it. */
  readonly band: number | null;
  /** What the marks mean. */
  readonly says: string;
}

export interface FittedPoint {
  readonly x: number;
  readonly y: number;
  /** What the fit says, in the unit of y. */
  readonly model: number;
  readonly off: number;
  readonly way: 'up' | 'down';
}

/** The picture of what a part was found from; null where its readings were not kept. */
export function fitOf(evidence: Evidence): DrawnFit | null {
  switch (evidence.kind) {
    case 'force':
      return scaleFit(knownReadings(evidence.calibration), evidence.calibration.standardUncertainty, {
        title: 'known force, N',
        size: 1,
        offUnit: 'mN',
        offSize: 1e3,
      });
    case 'position':
      return scaleFit(knownReadings(evidence.calibration), evidence.calibration.standardUncertainty, mm);
    case 'crank':
      return scaleFit(crankReadings(evidence), evidence.calibration.standardUncertainty_m, mm);
    case 'lag':
      return evidence.check.responses ? lagFit(evidence.check) : null;
    case 'mass':
      return evidence.run.responses ? massFit(evidence.run) : null;
  }
}

interface KnownPoint {
  readonly known: number;
  readonly counts: number;
  /** What the calibration says less what is known. */
  readonly off: number;
  readonly way: 'up' | 'down';
}

const mm = { title: 'known position, mm', size: 1e3, offUnit: 'µm', offSize: 1e6 } as const;

function scaleFit(
  readings: readonly KnownPoint[],
  scatter: number,
  { title, size, offUnit, offSize }: { title: string; size: number; offUnit: string; offSize: number },
): DrawnFit {
  return {
    points: readings.map(({ known, counts, off, way }) => ({
      x: known * size,
      y: counts / 1000,
      model: counts / 1000,
      off: off * offSize,
      way,
    })),
    xTitle: title,
    yTitle: 'Reading, thousands of counts',
    offTitle: `Calibration less known, ${offUnit}`,
    offUnit,
    band: 2 * scatter * offSize,
    says: 'Marks point the way the values went; the band is twice the scatter of a single value.',
  };
}

function knownReadings({
  runs,
  scale,
}:
  | Extract<Evidence, { kind: 'force' }>['calibration']
  | Extract<Evidence, { kind: 'position' }>['calibration']): KnownPoint[] {
  const zero_counts = runs.reduce((sum, run) => sum + (run.zero_counts ?? 0), 0) / runs.length;
  return runs.flatMap(({ points }) =>
    points.map(({ value, direction, deflection_counts }) => ({
      known: value,
      counts: zero_counts + deflection_counts,
      off: quantityOf(zero_counts + deflection_counts, scale) - value,
      way: direction,
    })),
  );
}

/** Where the slide was measured has an origin of its own, which is fitted away. */
function crankReadings({ calibration, conditions }: Extract<Evidence, { kind: 'crank' }>): KnownPoint[] {
  const { counts, position_m } = conditions;
  const misses = counts.map((count, i) => positionFromCrank_m(count, calibration.scale) - position_m[i]!);
  const origin = misses.reduce((a, b) => a + b, 0) / misses.length;
  return counts.map((count, i) => ({
    known: position_m[i]! + origin,
    counts: count,
    off: misses[i]! - origin,
    way: 'up',
  }));
}

const speedOf = ({ angularFrequency_rad_per_s }: CycleResponse) => angularFrequency_rad_per_s / (2 * Math.PI);
const aCycle = 'Each mark is a cycle of the crank.';

/** Friction opens the loop equally at all speeds; a late force closes it the more the faster. */
function lagFit({ responses, lag_s, springRate_N_per_m, movingMass_kg, friction_N }: SpringCheck): DrawnFit {
  const points = responses.map((cycle): FittedPoint => {
    const { angularFrequency_rad_per_s: omega, amplitude_m, ahead_N_per_m } = cycle;
    const turn = omega * lag_s.value;
    const stiffness = springRate_N_per_m.value - movingMass_kg.value * omega ** 2;
    const opening_N = (4 / Math.PI) * friction_N.value;
    const model = opening_N * Math.cos(turn) - stiffness * amplitude_m * Math.sin(turn);
    const y = ahead_N_per_m * amplitude_m;
    return { x: speedOf(cycle), y, model, off: 1e3 * (y - model), way: 'up' };
  });
  return {
    points,
    xTitle: 'speed, rev/s',
    yTitle: 'Opening of the loop, N',
    offTitle: 'Cycle less fit, mN',
    offUnit: 'mN',
    band: null,
    says: `${aCycle} A force that comes late closes the spring’s loop as the crank turns faster.`,
  };
}

/** A mass takes from the stiffness by the square of the speed. */
function massFit({ responses, stiffness_N_per_m, movingMass_kg }: UnloadedRun): DrawnFit {
  const points = responses.map((cycle): FittedPoint => {
    const { angularFrequency_rad_per_s: omega, amplitude_m, inPhase_N_per_m } = cycle;
    const model_N = (stiffness_N_per_m.value - movingMass_kg.value * omega ** 2) * amplitude_m;
    const y = inPhase_N_per_m * amplitude_m;
    return { x: speedOf(cycle), y, model: model_N, off: 1e3 * (y - model_N), way: 'up' };
  });
  return {
    points,
    xTitle: 'speed, rev/s',
    yTitle: 'Force in step with the position, N',
    offTitle: 'Cycle less fit, mN',
    offUnit: 'mN',
    band: null,
    says: `${aCycle} What moves pulls at the cell by the square of the speed.`,
  };
}
