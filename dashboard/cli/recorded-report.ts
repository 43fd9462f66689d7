import type { LinkStatistics, Recording, RecordingOutcome } from '../../daq/index.js';
import { count, sentenceCase } from '../wording/index.js';
import { exitStatus, rigFailed } from './failure.js';
import { UNCHECKED } from './record-rig.js';
import { say, sayNext, writeDocument } from './terminal.js';

/**
 * Tells what became of a recording.
 * @throws CommandFailure (the rig failed) after telling, where it did
 */
export function reportRecording(outcome: RecordingOutcome, recording: Recording, asJson: boolean): void {
  const { recordingId, state, reason, elapsed_s, samples, statistics, failure } = outcome;
  if (asJson) {
    const { buildName, remount } = recording;
    const isUnchecked = recording.identity?.unchecked === true;
    writeDocument({
      recordingId,
      build: buildName,
      remount,
      continues: recording.continues,
      state,
      reason,
      elapsed_s,
      samples,
      statistics,
      unchecked: isUnchecked,
      steps: recording.procedure.happened,
    });
  } else {
    say(recordedSentence(outcome, recording), lossSentence(outcome, recording));
    const speeds = speedsSentence(recording);
    if (speeds) say(speeds);
    if (state === 'interrupted')
      sayNext(
        `dashpot-bench record --port PORT --continue recording:${recordingId}`,
        'goes on from the step it was in, without a new mounting, as a further segment',
      );
    else
      sayNext(
        `dashpot-bench analyze recording:${recordingId}`,
        'shows what it found. Then take the shock off, put it back and record again: three remounts show what is real',
      );
  }
  if (failure) throw rigFailed(failure.message);
  if (state === 'interrupted') process.exitCode = exitStatus.interrupted;
}

function recordedSentence(
  { recordingId, state, reason, elapsed_s, samples }: RecordingOutcome,
  { buildName, remount }: Recording,
): string {
  const what = `${elapsed_s.toFixed(1)} s of '${buildName}', mounting ${remount}, as recording:${recordingId}`;
  const numbers = `${samples.force} force and ${samples.position} position samples`;
  return state === 'complete'
    ? `Recorded ${what}: ${numbers}.`
    : `Kept ${what}, interrupted (${reason}): ${numbers}.`;
}

/** What was lost between the device and the logbook. */
function lossSentence({ statistics }: RecordingOutcome, { identity }: Recording): string {
  const { linesMissing, linesDecoded } = statistics;
  const damaged = damagedLines(statistics);
  if (identity?.unchecked) return `${sentenceCase(count(damaged, 'line'))} could not be read. ${UNCHECKED}`;
  if (linesMissing === 0 && damaged === 0) return 'Nothing was lost on the way.';
  const share = (100 * linesMissing) / (linesDecoded + linesMissing);
  const lost = `${count(linesMissing, 'line')} of ${linesDecoded + linesMissing} lost on the way (${share.toPrecision(2)} %)`;
  return `${sentenceCase(lost)}, ${damaged === 0 ? 'none' : damaged} of them seen damaged. A shorter cable or a lower rate helps.`;
}

/** Asked and happened, where a drive or a person was asked for speeds. */
function speedsSentence({ procedure }: Recording): string | null {
  const asked = procedure.happened.filter(
    ({ speed_rev_per_s, measured_rev_per_s }) => speed_rev_per_s !== null && measured_rev_per_s != null,
  );
  if (asked.length === 0) return null;
  const pairs = asked.map(
    ({ speed_rev_per_s, measured_rev_per_s }) => `${measured_rev_per_s!.toFixed(2)} of ${speed_rev_per_s}`,
  );
  return `The crank turned at ${pairs.join(', ')} rev/s asked.`;
}

function damagedLines({ linesSkipped }: LinkStatistics): number {
  return Object.values(linesSkipped).reduce((sum, lines) => sum + (lines ?? 0), 0);
}
