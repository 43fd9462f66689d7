import { makeTrace, readCheckStandard } from '../../analysis/calibration/index.js';
import { DaqError } from '../daq-error.js';
import type { RigIdentity } from '../link/rig-identity.js';
import type { BuildId, RecordingId, RigId } from '../logbook/entities.js';
import type { Logbook } from '../logbook/open-logbook.js';
import { byHand, type Procedure } from '../procedures.js';

/** What is recorded to look after a rig: its lag, its moving mass, its check standard. */
export type CareRun = 'lag' | 'mass' | 'check';

interface RunOfPiece {
  /** The build that the test piece is in the logbook. */
  readonly piece: string;
  readonly procedure: Procedure['name'];
  readonly speeds_rev_per_s: readonly number[];
  readonly turns: number;
}

const severalSpeeds = {
  procedure: 'lag-check',
  speeds_rev_per_s: [0.4, 0.7, 1.1, 1.7, 2.4, 3.1],
  turns: 5,
} as const;

/** How each is moved: several speeds tell delay and mass apart; a dry spring shows rate and friction alone when slow. */
export const careRuns: Readonly<Record<CareRun, RunOfPiece>> = {
  lag: { piece: 'check spring', ...severalSpeeds },
  mass: { piece: 'bare slide', ...severalSpeeds },
  check: { piece: 'check standard', procedure: 'slow-sweep', speeds_rev_per_s: [0.25], turns: 4 },
};

/** A drive needs so long to reach a speed. */
const reach_s = 1.5;

/** The run at speeds that drive and profile allow; whole turns by hand where there is no drive. */
export function careProcedure(
  run: CareRun,
  { drive }: RigIdentity,
  fastest_rev_per_s = Number.POSITIVE_INFINITY,
): Procedure {
  const { procedure: name, speeds_rev_per_s, turns } = careRuns[run];
  if (!drive) return { ...byHand(speeds_rev_per_s, turns), name };
  const slowest = drive.speedMin_mHz / 1000;
  const fastest = Math.min(drive.speedMax_mHz / 1000, fastest_rev_per_s);
  const within = [...new Set(speeds_rev_per_s.map((speed) => Math.min(fastest, Math.max(slowest, speed))))];
  const steps = within.map((speed) => ({ speed_rev_per_s: speed, duration_s: reach_s + turns / speed }));
  return { name, steps, duration_s: null };
}

/** Shock under whose name test pieces stand in the logbook. */
const RIG_CARE = 'rig care';

/** The build that a test piece is, entered when it is new. */
export function pieceNamed(logbook: Logbook, name: string): BuildId {
  const existing = logbook.findBuild(name);
  if (existing) return existing.id;
  const { id: shockId } = logbook.findShock(RIG_CARE) ?? logbook.createShock({ name: RIG_CARE });
  return logbook.createBuild({ shockId, name, properties: { test_piece: true } }).id;
}

/**
 * Keeps what a recording of a rig's check standard shows, so that it counts in its history.
 * @throws DaqError 'unknown-name', 'calibration-refused' where it shows no spring, or is of another build
 */
export function enterCheckReading(logbook: Logbook, rigId: RigId, recordingId: RecordingId): void {
  const refuse = ({ found, wanted }: { readonly found: string; readonly wanted: string }) =>
    new DaqError('calibration-refused', { where: `recording:${recordingId}`, found, wanted });
  const standard = logbook.checkStandardOf(rigId);
  const { trace, calibration } = logbook.readRecording(recordingId);
  const { buildId, buildName, startedAt } = logbook.findRecording(recordingId)!;
  if (!standard || buildId !== standard.buildId || startedAt < standard.createdAt)
    throw refuse({
      found: `a recording of '${buildName}', which is not the check standard, or was not yet`,
      wanted: 'one of the check standard',
    });
  const made = makeTrace(trace);
  const outcome = made.ok ? readCheckStandard(made.trace) : made;
  if (!outcome.ok) throw refuse(outcome.refusal);
  logbook.enterResults(
    recordingId,
    calibration.id,
    Object.entries(outcome.reading).map(([quantity, { value, standardError }]) => ({
      quantity,
      value,
      standardError,
    })),
  );
}
