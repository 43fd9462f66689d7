import {
  type CrankCalibration,
  type ForceCalibration,
  type LengthCalibration,
  type SpringCheck,
  type TemperatureDrift,
  temperatureDrift,
  type UnloadedRun,
} from '../../analysis/calibration/index.js';
import type { ForceScale, PositionScale } from '../calibration.js';
import type { CalibrationPart } from '../logbook/calibration-parts.js';

/** A procedure's result: the part of a calibration, and how it was found, which the logbook keeps beside it. */
export interface FoundPart<Evidence extends object> {
  readonly part: CalibrationPart;
  readonly evidence: Evidence;
}

export interface ForceEvidence {
  readonly conditions: object;
  readonly calibration: ForceCalibration;
  readonly drift: TemperatureDrift | null;
}

export interface LengthEvidence {
  readonly conditions: object;
  readonly calibration: LengthCalibration;
}

export interface CrankEvidence {
  readonly conditions: object;
  readonly calibration: CrankCalibration;
}

export interface LagEvidence {
  readonly conditions: object;
  readonly check: SpringCheck;
}

export interface MovingMassEvidence {
  readonly conditions: object;
  readonly run: UnloadedRun;
}

export function forcePart(calibration: ForceCalibration, conditions: object): FoundPart<ForceEvidence> {
  const { scale, perCount, standardUncertainty, runs } = calibration;
  const value: ForceScale = {
    newton_per_count: scale.perCount,
    zero_counts: scale.zero_counts,
    standardUncertainty_newton_per_count: perCount.standardError,
    standardUncertainty_N: standardUncertainty,
    ...(scale.bend !== 0 && { bend_per_N: scale.bend }),
  };
  const evidence = { conditions, calibration, drift: temperatureDrift(runs, scale) };
  return { part: { part: 'force', value }, evidence };
}

export function lengthPart(calibration: LengthCalibration, conditions: object): FoundPart<LengthEvidence> {
  const { scale, perCount, standardUncertainty } = calibration;
  const value: PositionScale = {
    metre_per_count: scale.perCount,
    zero_counts: scale.zero_counts,
    standardUncertainty_metre_per_count: perCount.standardError,
    standardUncertainty_m: standardUncertainty,
    ...(scale.bend !== 0 && { bend_per_m: scale.bend }),
  };
  return { part: { part: 'position', value }, evidence: { conditions, calibration } };
}

export function crankPart(calibration: CrankCalibration, conditions: object): FoundPart<CrankEvidence> {
  const { radius_m, rod_m, counts_per_revolution, zero_counts } = calibration.scale;
  const value: PositionScale = {
    metre_per_count: (2 * Math.PI * radius_m) / counts_per_revolution,
    zero_counts,
    standardUncertainty_m: calibration.standardUncertainty_m,
    crank: { radius_m, rod_m, counts_per_revolution },
  };
  return { part: { part: 'position', value }, evidence: { conditions, calibration } };
}

export function lagPart(check: SpringCheck, conditions: object): FoundPart<LagEvidence> {
  const { value, standardError } = check.lag_s;
  return {
    part: { part: 'lag', value: { value_s: value, standardUncertainty_s: standardError } },
    evidence: { conditions, check },
  };
}

export function movingMassPart(run: UnloadedRun, conditions: object): FoundPart<MovingMassEvidence> {
  const { value, standardError } = run.movingMass_kg;
  return {
    part: { part: 'movingMass', value: { value_kg: value, standardUncertainty_kg: standardError } },
    evidence: { conditions, run },
  };
}
