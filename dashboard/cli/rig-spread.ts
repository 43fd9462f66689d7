import type { KnownSpread } from '../../analysis/index.js';
import type { RecordingId } from '../../daq/index.js';
import { resolveSources } from './resolve-sources.js';
import type { Source } from './source.js';

/**
 * The long-run spread of the rig that made all the recordings that some arguments name; undefined where there are
 * files among them, or recordings of several rigs.
 */
export async function rigSpread(
  groups: readonly (readonly string[])[],
  logbook: string,
): Promise<KnownSpread | undefined> {
  const resolved = await resolveSources(groups.flat(), logbook);
  return (await rigSpreads([resolved.flatMap((entry) => (entry.ok ? entry.sources : []))], logbook))[0];
}

/** The same for each of several groups of recordings. */
export async function rigSpreads(
  groups: readonly (readonly Source[])[],
  path: string,
): Promise<(KnownSpread | undefined)[]> {
  const ids = groups.map((sources) =>
    sources.map((source) => (source.kind === 'recording' ? (source.id as RecordingId) : null)),
  );
  if (ids.every((group) => group.includes(null))) return groups.map(() => undefined);
  const [{ openLogbook }, { knownSpread }] = await Promise.all([
    import('../../daq/index.js'),
    import('../answers/index.js'),
  ]);
  const logbook = openLogbook(path, { readOnly: true });
  try {
    return ids.map((group) => {
      if (group.includes(null)) return undefined;
      return knownSpread(logbook.remountSpreadBeside(group.map((id) => logbook.findRecording(id!)!)));
    });
  } finally {
    logbook.close();
  }
}
