import {
  calibrateCrank,
  calibrateForce,
  calibrateLength,
  checkSpring,
  checkUnloaded,
  fewestCrankPositions,
  fewestLengths,
  fewestLoads,
  hangingForce_N,
  type KnownReading,
  makeTrace,
} from '../../analysis/calibration/index.js';
import { DaqError } from '../daq-error.js';
import type { RigLink } from '../link/rig-link.js';
import type { CalibrationId, RecordingId } from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { type Operator, readCrankPositions, readKnownValues } from './known-values.js';
import {
  type CrankEvidence,
  crankPart,
  type ForceEvidence,
  type FoundPart,
  forcePart,
  type LagEvidence,
  type LengthEvidence,
  lagPart,
  lengthPart,
  type MovingMassEvidence,
  movingMassPart,
} from './parts-from-fits.js';

/** Relative standard uncertainty of a kitchen scale's or of hobby weights' masses. Judgement, no source. */
export const usualMassUncertainty = 1e-3;
/** A calliper's. Judgement, no source. */
export const usualLengthUncertainty_m = 2e-5;

/** Known masses and where they hang. */
export interface MassPlan {
  /** Increasing, at least five; what holds them counts as part of each. */
  readonly masses_kg: readonly number[];
  /** Runs up and down; three show repeatability. */
  readonly runs: number;
  readonly gravity_m_per_s2: number;
  /** Relative standard uncertainty common to all loads: masses and gravity. */
  readonly referenceUncertainty: number;
  /** Whether hanging masses push like a shock in compression (1) or pull (−1). */
  readonly sense: 1 | -1;
  /** Rated load of the cell, where it is known. */
  readonly cellCapacity_N: number | null;
}

export interface LengthPlan {
  /** From full extension, increasing, at least three. */
  readonly lengths_m: readonly number[];
  readonly runs: number;
  readonly lengthUncertainty_m: number;
}

export interface CrankPlan {
  readonly radius_m: number;
  readonly rod_m: number;
  readonly counts_per_revolution: number;
  /** Positions to measure, spread over a turn. */
  readonly positions: number;
}

/**
 * Leads through a force calibration with known masses; never moves the drive.
 * @throws DaqError 'over-capacity' and 'calibration-refused' before anything is hung; 'not-steady', the link's own;
 *   'calibration-refused' when the readings do not make a calibration. The signal's reason when it aborts.
 */
export async function guideForce(
  link: RigLink,
  plan: MassPlan,
  operator: Operator,
  signal?: AbortSignal,
): Promise<FoundPart<ForceEvidence>> {
  refuseMasses(plan);
  const readings = await readKnownValues(
    link,
    {
      what: 'hang-mass',
      values: plan.masses_kg,
      runs: plan.runs,
      quantityOf: (mass_kg) => plan.sense * hangingForce_N(mass_kg, plan.gravity_m_per_s2),
    },
    operator,
    signal,
  );
  return forceFrom(readings, plan);
}

/** A force calibration from readings that are there already. @throws DaqError 'calibration-refused' */
export function forceFrom(
  readings: readonly KnownReading[],
  conditions: { readonly referenceUncertainty: number },
): FoundPart<ForceEvidence> {
  const outcome = calibrateForce(readings, conditions.referenceUncertainty);
  if (!outcome.ok) throw refused('force calibration', outcome.refusal);
  return forcePart(outcome.calibration, conditions);
}

/** Leads through a position calibration with known lengths. Throws as `guideForce`. */
export async function guideLengths(
  link: RigLink,
  plan: LengthPlan,
  operator: Operator,
  signal?: AbortSignal,
): Promise<FoundPart<LengthEvidence>> {
  refuseValues('lengths', plan.lengths_m, fewestLengths, plan.runs);
  const readings = await readKnownValues(
    link,
    { what: 'hold-length', values: plan.lengths_m, runs: plan.runs, quantityOf: (length_m) => length_m },
    operator,
    signal,
  );
  return lengthsFrom(readings, plan);
}

/** A position calibration from readings that are there already. @throws DaqError 'calibration-refused' */
export function lengthsFrom(
  readings: readonly KnownReading[],
  conditions: { readonly lengthUncertainty_m: number },
): FoundPart<LengthEvidence> {
  const outcome = calibrateLength(readings, conditions.lengthUncertainty_m);
  if (!outcome.ok) throw refused('position calibration', outcome.refusal);
  return lengthPart(outcome.calibration, conditions);
}

/** Leads through positions of a crank that carries the sensor. Throws as `guideForce`. */
export async function guideCrank(
  link: RigLink,
  plan: CrankPlan,
  operator: Operator,
  signal?: AbortSignal,
): Promise<FoundPart<CrankEvidence>> {
  const positions = Math.max(fewestCrankPositions, plan.positions);
  const { counts, position_m } = await readCrankPositions(link, positions, operator, signal);
  return crankFrom(counts, position_m, plan);
}

/** A crank's calibration from counts and measured positions. @throws DaqError 'calibration-refused' */
export function crankFrom(
  counts: Float64Array,
  position_m: Float64Array,
  plan: Omit<CrankPlan, 'positions'>,
): FoundPart<CrankEvidence> {
  const outcome = calibrateCrank(counts, position_m, plan);
  if (!outcome.ok) throw refused('crank calibration', outcome.refusal);
  return crankPart(outcome.calibration, { ...plan, counts: [...counts], position_m: [...position_m] });
}

/**
 * The lag of the force from a recording of a dry spring at several speeds.
 * @throws DaqError 'unknown-name', 'calibration-refused'
 */
export function lagFromRecording(
  logbook: Logbook,
  recordingId: RecordingId,
  calibrationId?: CalibrationId,
): FoundPart<LagEvidence> {
  const outcome = checkSpring(traceOf(logbook, recordingId, calibrationId));
  if (!outcome.ok) throw refused(`recording ${recordingId}`, outcome.refusal);
  return lagPart(outcome.check, { recordingId, calibrationId: calibrationId ?? null });
}

/**
 * The moving mass from a recording without a shock, at several speeds. The rig's lag is taken into account where its
 * calibration has one.
 * @throws DaqError 'unknown-name', 'calibration-refused'
 */
export function movingMassFromRecording(
  logbook: Logbook,
  recordingId: RecordingId,
  calibrationId?: CalibrationId,
): FoundPart<MovingMassEvidence> {
  const { calibration } = logbook.readRecording(recordingId, calibrationId).calibration;
  const outcome = checkUnloaded(traceOf(logbook, recordingId, calibrationId), calibration.lag?.value_s ?? 0);
  if (!outcome.ok) throw refused(`recording ${recordingId}`, outcome.refusal);
  return movingMassPart(outcome.run, { recordingId, calibrationId: calibrationId ?? null });
}

function traceOf(logbook: Logbook, recordingId: RecordingId, calibrationId?: CalibrationId) {
  const made = makeTrace(logbook.readRecording(recordingId, calibrationId).trace);
  if (!made.ok) throw refused(`recording ${recordingId}`, made.refusal);
  return made.trace;
}

function refuseMasses({ masses_kg, runs, gravity_m_per_s2, cellCapacity_N }: MassPlan): void {
  refuseValues('masses', masses_kg, fewestLoads, runs);
  if (!(gravity_m_per_s2 > 9.7 && gravity_m_per_s2 < 9.9))
    throw refused('gravity', {
      found: `${gravity_m_per_s2} m/s²`,
      wanted: '9.76 to 9.84 m/s², as on the ground',
    });
  const heaviest_N = hangingForce_N(masses_kg.at(-1)!, gravity_m_per_s2);
  if (cellCapacity_N !== null && heaviest_N > cellCapacity_N)
    throw new DaqError('over-capacity', {
      where: 'masses',
      found: `${masses_kg.at(-1)} kg, which is ${heaviest_N.toFixed(1)} N`,
      wanted: `at most the cell's ${cellCapacity_N} N; an overloaded cell stays bent`,
    });
}

function refuseValues(what: string, values: readonly number[], fewest: number, runs: number): void {
  const isIncreasing = values.every((value, i) => value > (i > 0 ? values[i - 1]! : 0));
  if (values.length < fewest || !isIncreasing)
    throw refused(what, {
      found: values.length < fewest ? `${values.length} of them` : 'values that do not increase from 0',
      wanted: `at least ${fewest} different ones, increasing`,
    });
  if (!(Number.isInteger(runs) && runs >= 1))
    throw refused('runs', { found: String(runs), wanted: 'a whole number from 1; three show repeatability' });
}

function refused(where: string, { found, wanted }: { found: string; wanted: string }): DaqError {
  return new DaqError('calibration-refused', { where, found, wanted });
}
