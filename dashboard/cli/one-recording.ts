import { makeTrace, type Trace } from '../../analysis/index.js';
import { refusalSentence } from '../wording/index.js';
import { badInput, CommandFailure, exitStatus } from './failure.js';
import { readSource } from './read-source.js';
import { resolveSources, type Standing } from './resolve-sources.js';

/** A recording that is read as it is, without the analysis of a damper. */
export interface ReadRecording {
  readonly label: string;
  readonly trace: Trace;
}

/** A pull or a sweep is no remount of a shock: a build stands for all that ran to its end and measured something. */
const ended: Standing = {
  of: (recordings) =>
    recordings.filter(({ state, procedure }) => state === 'complete' && procedure.name !== 'warm-up'),
  called: 'complete',
};

/**
 * Reads the one recording that a FILE argument names.
 * @throws CommandFailure where there is none, where a build has several, or where it is no recording
 */
export async function oneRecording(text: string, logbook: string): Promise<ReadRecording> {
  const [resolved] = await resolveSources([text], logbook, ended);
  if (!resolved!.ok) throw new CommandFailure(exitStatus.badInput, resolved!.error);
  const [source, ...others] = resolved!.sources;
  if (others.length > 0)
    throw badInput(
      `${others.length + 1} recordings`,
      `one of ${[source!, ...others].map(({ label }) => label).join(', ')}`,
      text,
    );
  const made = makeTrace(await readSource(source!));
  if (!made.ok)
    throw new CommandFailure(exitStatus.badInput, `${source!.label}: ${refusalSentence(made.refusal)}`);
  return { label: source!.label, trace: made.trace };
}
