import {
  type CrankCalibration,
  type ForceCalibration,
  type LengthCalibration,
  type SpringCheck,
  temperatureDrift,
  type UnloadedRun,
} from '../../analysis/calibration/index.js';
import type { ForceScale, PositionScale } from '../calibration.js';
import type { CalibrationPart } from '../logbook/calibration-parts.js';

/** A procedure's result as the logbook keeps it: the part of a calibration, and how it was found. */
export interface FoundPart {
  readonly part: CalibrationPart;
  readonly evidence: object;
}

export function forcePart(found: ForceCalibration, conditions: object): FoundPart {
  const { scale, perCount, standardUncertainty, choice, runs } = found;
  const value: ForceScale = {
    newton_per_count: scale.perCount,
    zero_counts: scale.zero_counts,
    standardUncertainty_newton_per_count: perCount.standardError,
    standardUncertainty_N: standardUncertainty,
    ...(scale.bend !== 0 && { bend_per_N: scale.bend }),
  };
  const { errors, errorsByLoad, classes, pullLessPush_percent } = found;
  const drift = temperatureDrift(runs, scale);
  const evidence = { conditions, choice, errors, errorsByLoad, classes, pullLessPush_percent, drift, runs };
  return { part: { part: 'force', value }, evidence };
}

export function lengthPart(found: LengthCalibration, conditions: object): FoundPart {
  const { scale, perCount, standardUncertainty, choice, runs, backlash_m } = found;
  const value: PositionScale = {
    metre_per_count: scale.perCount,
    zero_counts: scale.zero_counts,
    standardUncertainty_metre_per_count: perCount.standardError,
    standardUncertainty_m: standardUncertainty,
    ...(scale.bend !== 0 && { bend_per_m: scale.bend }),
  };
  return { part: { part: 'position', value }, evidence: { conditions, choice, backlash_m, runs } };
}

export function crankPart(found: CrankCalibration, conditions: object): FoundPart {
  const { radius_m, rod_m, counts_per_revolution, zero_counts } = found.scale;
  const value: PositionScale = {
    metre_per_count: (2 * Math.PI * radius_m) / counts_per_revolution,
    zero_counts,
    standardUncertainty_m: found.standardUncertainty_m,
    crank: { radius_m, rod_m, counts_per_revolution },
  };
  const evidence = { conditions, radius_m: found.radius_m, zero_counts: found.zero_counts };
  return { part: { part: 'position', value }, evidence };
}

export function lagPart(found: SpringCheck, conditions: object): FoundPart {
  const { value, standardError } = found.lag_s;
  return {
    part: { part: 'lag', value: { value_s: value, standardUncertainty_s: standardError } },
    evidence: { conditions, check: found },
  };
}

export function movingMassPart(found: UnloadedRun, conditions: object): FoundPart {
  const { value, standardError } = found.movingMass_kg;
  return {
    part: { part: 'movingMass', value: { value_kg: value, standardUncertainty_kg: standardError } },
    evidence: { conditions, run: found },
  };
}
