import { computed, signal } from '@preact/signals';
import type { RecordingAnalysis } from '../../analysis/index.js';
import { countedRemounts } from '../answers/index.js';
import type { AnalysisBody, ApiBuild, ApiError, ApiRecording, BuildsBody } from '../server/api.js';
import { fetchBody, troubleOf } from './api.js';

/** Shocks, builds and recordings as the server last told them; null before the first answer. */
export const logbook = signal<BuildsBody | null>(null);
export const logbookTrouble = signal<ApiError | null>(null);

/** Analyses fetched so far, by recording. A recording whose analysis could not be fetched has its trouble here. */
export const analyses = signal<ReadonlyMap<number, AnalysisBody>>(new Map());
export const analysisTroubles = signal<ReadonlyMap<number, ApiError>>(new Map());

/**
 * A build's place in the logbook, from 0: what its colour, dash and marker follow from. Builds are numbered as they are
 * made, and one in the bin keeps its place.
 */
export const ordinals = computed(
  () => new Map((logbook.value?.builds ?? []).map((build) => [build.id, build.id - 1])),
);

export async function refreshLogbook(): Promise<void> {
  try {
    logbook.value = await fetchBody<BuildsBody>('/api/builds');
    logbookTrouble.value = null;
  } catch (thrown) {
    logbookTrouble.value = troubleOf(thrown);
  }
}

export function buildOf(id: number): ApiBuild | undefined {
  return logbook.value?.builds.find((build) => build.id === id);
}

/** Recordings of whatever strokes that ran to their end and were not discarded. */
export function completeRecordings(build: ApiBuild): ApiRecording[] {
  return build.recordings.filter((recording) => recording.state === 'complete');
}

/** Recordings that count where a build is compared, pooled or drawn: one a remount of its shock. */
export const remountsOf = (build: ApiBuild): ApiRecording[] => countedRemounts(build.recordings);

/** The analyses that are there of these recordings. */
export const analysesOf = (recordingIds: Iterable<number>): RecordingAnalysis[] =>
  [...recordingIds].flatMap((id) => {
    const body = analyses.value.get(id);
    return body?.ok ? [body.analysis] : [];
  });

const underWay = new Map<number, Promise<void>>();

/**
 * A browser keeps six connections to a server. These answers take long, and what the drive and its stop button send has
 * to find a connection free.
 */
const MOST_AT_ONCE = 2;
let asking = 0;
const waiting: (() => void)[] = [];

/** Asks once fewer than so many are being asked, first come first. */
async function inLine<Body>(ask: () => Promise<Body>): Promise<Body> {
  if (asking < MOST_AT_ONCE) asking++;
  else await new Promise<void>((begin) => waiting.push(begin));
  try {
    return await ask();
  } finally {
    const next = waiting.shift();
    if (next) next();
    else asking--;
  }
}

/**
 * Sees to it that the analyses of these recordings arrive, each once.
 * The server analyses one after the other; each is shown as soon as it is there.
 */
export function needAnalyses(recordingIds: readonly number[]): void {
  for (const id of recordingIds) {
    if (analyses.value.has(id) || analysisTroubles.value.has(id) || underWay.has(id)) continue;
    underWay.set(
      id,
      fetchAnalysis(id).finally(() => underWay.delete(id)),
    );
  }
}

/** Asks again for those that failed. */
export function retryAnalyses(): void {
  const failed = [...analysisTroubles.value.keys()];
  analysisTroubles.value = new Map();
  needAnalyses(failed);
}

const ARRIVE_TOGETHER_MS = 50;
let arrived: Map<number, AnalysisBody> | null = null;
let taken = Promise.resolve();

/**
 * What arrives at nearly the same time is taken in one go: everything that is compared and drawn follows from it anew.
 * @returns when it has been taken
 */
function take(id: number, body: AnalysisBody): Promise<void> {
  if (!arrived) {
    const together = new Map<number, AnalysisBody>();
    arrived = together;
    taken = new Promise((resolve) => setTimeout(resolve, ARRIVE_TOGETHER_MS)).then(() => {
      arrived = null;
      analyses.value = new Map([...analyses.value, ...together]);
    });
  }
  arrived.set(id, body);
  return taken;
}

async function fetchAnalysis(id: number): Promise<void> {
  try {
    await take(id, await inLine(() => fetchBody<AnalysisBody>(`/api/recordings/${id}/analysis`)));
  } catch (thrown) {
    const trouble = troubleOf(thrown);
    if (trouble) analysisTroubles.value = new Map(analysisTroubles.value).set(id, trouble);
  }
}

// A recording made by the command line meanwhile is seen when somebody looks at the page again.
document.addEventListener('visibilitychange', () => {
  if (document.visibilityState === 'visible') void refreshLogbook();
});
