import {
  type Logbook,
  lagFromRecording,
  movingMassFromRecording,
  type RecordingId,
} from '../../daq/index.js';
import { type CareRow, lagRows, lagSentence, movingMassSentence } from '../wording/index.js';
import { type EntryOptions, enterAndTell } from './calibration-entry.js';
import { leadAtRig, type RigOptions } from './lead-at-rig.js';
import { careLogbook, careProcedure, recordingNamed, recordPiece } from './rig-care-recording.js';

type MotionOptions = EntryOptions & RigOptions;

const pieces = {
  lag: { name: 'check spring', played: 'dry-spring' },
  mass: { name: 'bare slide', played: 'bare-slide' },
} as const;
const speeds_rev_per_s = [0.4, 0.7, 1.1, 1.7, 2.4, 3.1];
const turnsAtEach = 5;

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
  await leadAtRig(options, pieces[what].played, async (rig) => {
    const logbook = careLogbook(options.logbook, true);
    try {
      const rigId = logbook.findRig(rig.rigName);
      const fastest = rigId && logbook.rigProfile(rigId)?.profile.drive?.speedMax_rev_per_s;
      const identity = rig.link.identity();
      const procedure = careProcedure(identity, 'lag-check', speeds_rev_per_s, turnsAtEach, fastest);
      await tell(what, logbook, await recordPiece(rig, logbook, pieces[what].name, procedure), options);
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
