import { computed } from '@preact/signals';
import type { RecordingAnalysis } from '../../../analysis/index.js';
import { analysedRemounts } from '../../answers/index.js';
import type { ApiBuild, ApiPicture, ApiRecording } from '../../server/api.js';
import { address } from '../address.js';
import { type Identity, identityOf } from '../identity/identity.js';
import { analyses, buildOf, logbook, ordinals, remountsOf } from '../logbook.js';
import { theme } from '../theme.js';

/** A recording whose analysis is here. */
export interface AnalysedRemount {
  readonly recording: ApiRecording;
  readonly analysis: RecordingAnalysis;
  readonly picture: ApiPicture;
}

/** A build that is shown, in the order of the address: the reference first. */
export interface ChosenBuild {
  readonly build: ApiBuild;
  readonly identity: Identity;
  /** Complete recordings, those left out too. */
  readonly recordings: readonly ApiRecording[];
  /** Recordings that count here. */
  readonly included: readonly ApiRecording[];
  /** Those of the included ones that are analysed by now. */
  readonly remounts: readonly AnalysedRemount[];
  /** Whether nothing is on its way any more, and something is there to compare. */
  readonly isReady: boolean;
}

// Parts of the address, so that a change of another part computes nothing anew.
const addressed = computed(() => address.value.builds);
const without = computed(() => address.value.without);
/** How the chosen builds are looked at. */
export const view = computed(() => address.value.view);

/** Builds that have something to show. */
export const recordedBuilds = computed(() =>
  (logbook.value?.builds ?? []).filter((build) => remountsOf(build).length > 0),
);

/** The builds of the address, or, where it names none, the newest recorded one after its parent. */
export const chosenIds = computed<readonly number[]>(() => {
  const known = addressed.value.filter((id) => buildOf(id) !== undefined);
  if (known.length > 0) return known;
  const newest = recordedBuilds.value.at(-1);
  if (!newest) return [];
  const parent = recordedBuilds.value.find((build) => build.id === newest.parentId);
  return parent ? [parent.id, newest.id] : [newest.id];
});

export const referenceId = computed(() => chosenIds.value[0] ?? null);

/** How a build looks now, anywhere on the page. */
export function identityOfBuild(id: number): Identity {
  return identityOf(ordinals.value.get(id) ?? 0, theme.value, id === referenceId.value);
}

export const chosen = computed<readonly ChosenBuild[]>(() =>
  chosenIds.value.flatMap((id) => {
    const build = buildOf(id);
    if (!build) return [];
    const recordings = remountsOf(build);
    const included = recordings.filter((recording) => !without.value.includes(recording.id));
    const bodies = included.map((recording) => analyses.value.get(recording.id));
    const remounts = included.flatMap((recording, i): AnalysedRemount[] => {
      const body = bodies[i];
      return body?.ok && body.picture ? [{ recording, analysis: body.analysis, picture: body.picture }] : [];
    });
    const isReady = analysedRemounts(bodies) !== null;
    return [{ build, identity: identityOfBuild(id), recordings, included, remounts, isReady }];
  }),
);

/** Recordings whose analyses the selection wants. */
export const wantedRecordings = computed(() =>
  chosen.value.flatMap(({ included }) => included.map((recording) => recording.id)),
);
