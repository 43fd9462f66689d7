import { effect, signal } from '@preact/signals';
import type { ApiError, KeepingBody, ShelfItemBody } from '../../server/api.js';
import { fetchBody, postBody, troubleOf } from '../api.js';
import { logbook } from '../logbook.js';

/** What can be undone, done again and taken out of the bin, and the shelf; null before the first answer. */
export const keeping = signal<KeepingBody | null>(null);
/** Why the last edit was refused; gone with the next one. */
export const keepingTrouble = signal<ApiError | null>(null);

/** The build that was made last, until the keyboard is on it. */
export const made = signal<number | null>(null);

/** Follows the logbook while the place is looked at: whatever changes there may be undone here. */
export function followKeeping(): () => void {
  return effect(() => {
    if (logbook.value) void refreshKeeping();
  });
}

async function refreshKeeping(): Promise<void> {
  try {
    keeping.value = await fetchBody<KeepingBody>('/api/keeping');
  } catch (thrown) {
    keepingTrouble.value = troubleOf(thrown);
  }
}

/** Asks for an edit; its answer is how things stand after it. */
async function ask(path: string, body: unknown): Promise<boolean> {
  try {
    keepingTrouble.value = null;
    keeping.value = await postBody<KeepingBody>(path, body);
    return true;
  } catch (thrown) {
    keepingTrouble.value = troubleOf(thrown);
    void refreshKeeping();
    return false;
  }
}

export type Binned = { readonly kind: 'build' | 'recording' | 'photo' | 'shelf'; readonly item: string };

export const undo = (editId: number) => ask('/api/keeping/undo', { editId });
export const redo = (editId: number) => ask('/api/keeping/redo', { editId });
export const throwAway = (what: Binned, reason = '') => ask('/api/bin', { ...what, reason });
export const takeBack = ({ kind, item }: Binned) => ask('/api/bin/restore', { kind, item });
/** @param count how many things were shown in it */
export const emptyBin = (count: number) => ask('/api/bin/empty', { count });
export const putOnShelf = (item: ShelfItemBody) => ask('/api/shelf', item);
