import { signal } from '@preact/signals';
import type { ApiError, CareBody, GuidedBody, GuidedStart, GuidedStartedBody } from '../../server/api.js';
import { address } from '../address.js';
import { fetchBody, postBody, troubleOf } from '../api.js';
import { holdDrive } from '../drive/hold-drive.js';

/** What is known of the rig that is looked after; null before the first answer. */
export const care = signal<CareBody | null>(null);
export const careTrouble = signal<ApiError | null>(null);

/** The procedure that the server leads through. */
export const guided = signal<GuidedBody>({ phase: 'idle' });
export const guidedTrouble = signal<ApiError | null>(null);

const LOOK_EVERY_MS = 250;
const moving: readonly GuidedBody['phase'][] = ['connecting', 'reading', 'recording'];
let timer: ReturnType<typeof setTimeout> | undefined;

export async function refreshCare(): Promise<void> {
  const { rig } = address.value;
  try {
    care.value = await fetchBody<CareBody>(`/api/care${rig === null ? '' : `?rig=${rig}`}`);
    careTrouble.value = null;
  } catch (thrown) {
    careTrouble.value = troubleOf(thrown);
  }
}

/** Sees where the procedure stands; goes on looking while it moves by itself. */
export async function followGuided(): Promise<void> {
  clearTimeout(timer);
  await take(fetchBody<GuidedBody>('/api/care/guided'));
}

export async function startGuided(asked: GuidedStart): Promise<void> {
  await take(
    postBody<GuidedStartedBody>('/api/care/guided', asked).then((started) => {
      if (started.lease !== null) holdDrive('/api/care/guided/lease', started.lease);
      return started;
    }),
  );
}

export const stepDone = (measured_mm: number | null): Promise<void> =>
  take(postBody<GuidedBody>('/api/care/guided/go', { measured_mm }));

export async function enterFound(note: string): Promise<void> {
  await take(postBody<GuidedBody>('/api/care/guided/enter', { note }));
  await refreshCare();
}

export const leaveGuided = (): Promise<void> => take(postBody<GuidedBody>('/api/care/guided/leave'));

async function take(answer: Promise<GuidedBody>): Promise<void> {
  try {
    const next = await answer;
    const was = guided.value.phase;
    guided.value = next;
    guidedTrouble.value = null;
    if (next.phase !== was && (next.phase === 'entered' || next.phase === 'found')) void refreshCare();
    if (moving.includes(next.phase)) timer = setTimeout(() => void followGuided(), LOOK_EVERY_MS);
  } catch (thrown) {
    guidedTrouble.value = troubleOf(thrown);
  }
}
