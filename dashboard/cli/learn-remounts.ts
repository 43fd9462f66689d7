import type { RecordingId } from '../../daq/index.js';
import { keptResults } from '../answers/index.js';
import { analyzeTogether } from './analyze-all.js';
import { badInput } from './failure.js';
import { careLogbook } from './rig-care-recording.js';
import { say, sayNext, writeDocument } from './terminal.js';

/**
 * Keeps what the remounts of builds gave, so that the rig's long-run spread is known from shocks, not from the check
 * standard alone.
 * @param names builds with two remounts or more
 */
export async function learnRemounts(
  names: readonly string[],
  { logbook: path, json }: { readonly logbook: string; readonly json?: boolean },
): Promise<void> {
  const builds = names.map((name) => `build:${name.replace(/^build:/, '')}`);
  const analysed = await analyzeTogether([builds], path);
  const [sources, analyses] = [analysed.sources[0]!, analysed.analyses[0]!];
  const logbook = careLogbook(path, false);
  try {
    const rigs = new Set<NonNullable<ReturnType<typeof logbook.findRecording>>['rigId']>();
    for (const [i, source] of sources.entries()) {
      if (source.kind !== 'recording') continue;
      const recording = logbook.findRecording(source.id as RecordingId)!;
      rigs.add(recording.rigId);
      logbook.enterResults(recording.id, recording.calibrationId, keptResults(analyses[i]!));
    }
    const [rigId, ...others] = rigs;
    if (!rigId || others.length > 0)
      throw badInput(`recordings of ${rigs.size} rigs, or imported ones`, 'remounts on one rig');
    const spread = logbook.remountSpreadOf(rigId);
    if (json) {
      writeDocument({ builds: names, recordings: sources.length, remountSpread: spread });
      return;
    }
    const drag = spread.find(({ quantity }) => quantity === 'friction_N');
    say(
      drag
        ? `Between remounts on this rig drag differs by ${(100 * drag.relativeStandardDeviation).toPrecision(2)} % (one standard deviation, ${drag.degreesOfFreedom} degrees of freedom).`
        : 'Kept. Two remounts of one build are needed before a spread can be told.',
    );
    sayNext(
      'dashpot-bench compare --before BUILD --after BUILD',
      'more remounts of any build make this surer: record one, take the shock off, put it back, record again',
    );
  } finally {
    logbook.close();
  }
}
