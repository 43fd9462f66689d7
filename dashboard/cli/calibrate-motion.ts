import {
  careProcedure,
  careRuns,
  type Logbook,
  lagFromRecording,
  movingMassFromRecording,
  type RecordingId,
} from '../../daq/index.js';
import { type CareRow, lagRows, lagSentence, movingMassSentence } from '../wording/index.js';
import { type EntryOptions, enterAndTell } from './calibration-entry.js';
import { leadAtRig, type RigOptions } from './lead-at-rig.js';
import { careLogbook, recordingNamed, recordPiece } from './rig-care-recording.js';

type MotionOptions = EntryOptions & RigOptions;

const played = { lag: 'dry-spring', mass: 'bare-slide' } as const;

/** Finds lag or moving mass from a recording that is there, or from one made now. */
export async function calibrateMotion(
  what: 'lag' | 'mass',
  recording: string | undefined,
  options: MotionOptions,
): Promise<void> {
  if (recording !== undefined) {
    const logbook = careLogbook(options.logbook, false);
    try {
      await tell(what, logbook, recordingNamed(logbook, recording), options);
    } finally {
      logbook.close();
    }
    return;
  }
  await leadAtRig(options, played[what], async (rig) => {
    const logbook = careLogbook(options.logbook, true);
    try {
      const rigId = logbook.findRig(rig.rigName);
      const fastest = rigId && logbook.rigProfile(rigId)?.profile.drive?.speedMax_rev_per_s;
      const procedure = careProcedure(what, rig.link.identity(), fastest);
      await tell(what, logbook, await recordPiece(rig, logbook, careRuns[what].piece, procedure), options);
    } finally {
      logbook.close();
    }
  });
}

async function tell(
  what: 'lag' | 'mass',
  logbook: Logbook,
  recordingId: RecordingId,
  options: MotionOptions,
): Promise<void> {
  const rigName = logbook.findRecording(recordingId)!.identity!.rigName;
  const words = (sentence: string, rows: CareRow[]) => ({ sentence, rows });
  if (what === 'lag') {
    const found = lagFromRecording(logbook, recordingId);
    const { check } = found.evidence;
    await enterAndTell(options, rigName, found, words(lagSentence(check), lagRows(check)));
  } else {
    const found = movingMassFromRecording(logbook, recordingId);
    await enterAndTell(options, rigName, found, words(movingMassSentence(found.evidence.run), []));
  }
}
