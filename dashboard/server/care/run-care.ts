import {
  type CareRun,
  careProcedure,
  careRuns,
  DaqError,
  driveLimitsOf,
  enterCheckReading,
  guideCrank,
  guideForce,
  guideLengths,
  guideSetup,
  type Logbook,
  lagFromRecording,
  movingMassFromRecording,
  type Operator,
  type Procedure,
  pieceNamed,
  type RecordingId,
  type RecordingProgress,
  type RigIdentity,
  type RigLink,
  recordBuild,
} from '../../../daq/index.js';
import type { CareFound, CareProcedure, GuidedStart } from '../api-care.js';
import { crankPlan, lengthPlan, massPlan, profileFrom } from './plan-of-care.js';

export interface CareOptions {
  readonly link: RigLink;
  readonly logbook: Logbook;
  readonly asked: GuidedStart;
  readonly operator: Operator;
  /** Whether the page that started the drive is still there. */
  readonly isDriveHeld: () => boolean;
  /** Of a simulated rig, null for a real one. */
  readonly seed: number | null;
  readonly onProgress: (progress: RecordingProgress) => void;
  readonly signal: AbortSignal;
}

/** What a run came to; a check counts in its history at once. */
export type CareResult = CareFound | { readonly kind: 'checked' };

const isRun = (what: CareProcedure): what is CareRun => what in careRuns;

/** How the rig is moved for it; null for what a person does at a rig that stands. */
export function procedureOf(what: CareProcedure, identity: RigIdentity, logbook: Logbook): Procedure | null {
  if (!isRun(what)) return null;
  const rigId = logbook.findRig(identity.rigName);
  const fastest = rigId && logbook.rigProfile(rigId)?.profile.drive?.speedMax_rev_per_s;
  return careProcedure(what, identity, fastest);
}

/** Runs one procedure at the rig, with the functions that the commands call. Throws what these throw. */
export async function runCare(options: CareOptions): Promise<CareResult> {
  const { link, logbook, asked, operator, signal } = options;
  const { what, plan } = asked;
  const rigId = logbook.findRig(link.identity().rigName);
  const profile = (rigId && logbook.rigProfile(rigId)?.profile) ?? null;
  const asPart = ({
    part,
    evidence,
  }: Awaited<ReturnType<typeof guideForce | typeof guideCrank>>): CareFound => ({
    kind: 'part',
    part,
    evidence,
  });
  switch (what) {
    case 'setup': {
      const found = await guideSetup(link, operator, signal);
      return { kind: 'profile', profile: profileFrom(found, plan, link.identity()) };
    }
    case 'force':
      return asPart(await guideForce(link, massPlan(plan, profile), operator, signal));
    case 'position': {
      const { part, evidence } = await guideLengths(link, lengthPlan(plan), operator, signal);
      return { kind: 'part', part, evidence };
    }
    case 'angle':
      return asPart(await guideCrank(link, crankPlan(plan), operator, signal));
    default:
      return foundIn(logbook, what, await recordPiece(options, what));
  }
}

/** What a recording shows that was made for it. @throws DaqError 'calibration-refused', 'unknown-name' */
export function foundIn(logbook: Logbook, what: CareRun, recordingId: RecordingId): CareResult {
  if (what === 'check') {
    enterCheckReading(logbook, logbook.findRecording(recordingId)!.rigId!, recordingId);
    return { kind: 'checked' };
  }
  const { part, evidence } =
    what === 'lag' ? lagFromRecording(logbook, recordingId) : movingMassFromRecording(logbook, recordingId);
  return { kind: 'part', part, evidence };
}

async function recordPiece(
  { link, logbook, asked, isDriveHeld, seed, onProgress, signal }: CareOptions,
  what: CareRun,
): Promise<RecordingId> {
  const { rigName } = link.identity();
  const rigId = logbook.findRig(rigName);
  if (rigId === undefined || !logbook.calibrationInForce(rigId))
    throw new DaqError('no-calibration', {
      where: link.path,
      found: `rig '${rigName}' without a calibration`,
      wanted: 'its force and position calibrated first',
    });
  const piece = logbook.checkStandardOf(rigId);
  const buildId = what === 'check' && piece ? piece.buildId : pieceNamed(logbook, careRuns[what].piece);
  if (what === 'check' && (!piece || asked.plan.isNewBaseline)) logbook.setCheckStandard(rigId, buildId);
  const outcome = await recordBuild({
    link,
    logbook,
    buildId,
    procedure: procedureOf(what, link.identity(), logbook)!,
    limits: driveLimitsOf(logbook, rigName),
    isDriveHeld,
    simulated: seed === null ? null : { seed },
    onProgress,
    signal,
  });
  if (outcome.failure) throw outcome.failure;
  signal.throwIfAborted();
  return outcome.recordingId;
}
