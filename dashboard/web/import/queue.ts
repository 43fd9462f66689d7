import { computed, signal } from '@preact/signals';
import type { ApiError, CsvReading, ImportedBody, ImportPreviewBody } from '../../server/api.js';
import { postBytes, troubleOf } from '../api.js';

/** Enough of a file to tell how it is written. */
const HEAD_BYTES = 192 * 1024;
const MOST_FILE_BYTES = 64 * 1024 * 1024;

/** A file that was dropped, and how far it has come. */
export interface QueuedFile {
  readonly key: number;
  readonly file: File;
  readonly preview: ImportPreviewBody | null;
  readonly refusal: ApiError | null;
  readonly state: 'looking' | 'waiting' | 'sending' | 'done';
  /** Of the sending, 0 to 1. */
  readonly share: number;
  readonly imported: ImportedBody | null;
}

export const queue = signal<readonly QueuedFile[]>([]);
/** The build that the files show. */
export const intoBuild = signal<number | null>(null);
/** Stops the import under way; null while there is none. */
export const importing = signal<AbortController | null>(null);

/** Files that were looked at and can be read as they are stated. */
export const ready = computed(() =>
  queue.value.filter(({ state, preview }) => state === 'waiting' && preview?.seen && !preview.refusal),
);

let lastKey = 0;

/** Takes files that were dropped or chosen, and looks at each. */
export function addFiles(files: readonly File[]): void {
  const added = files.map(
    (file): QueuedFile => ({
      key: ++lastKey,
      file,
      preview: null,
      refusal: tooLarge(file),
      state: file.size > MOST_FILE_BYTES ? 'waiting' : 'looking',
      share: 0,
      imported: null,
    }),
  );
  queue.value = [...queue.value, ...added];
  for (const { key, state } of added) if (state === 'looking') void look(key);
}

export function removeFile(key: number): void {
  queue.value = queue.value.filter((entry) => entry.key !== key);
}

/** Looks at a file's beginning, as guessed or as its owner states it. */
export async function look(key: number, reading?: CsvReading): Promise<void> {
  const entry = queue.value.find((one) => one.key === key);
  if (!entry) return;
  const query = new URLSearchParams({
    name: entry.file.name,
    ...(reading && { reading: JSON.stringify(reading) }),
  });
  // Stated at once, so that the fields show what was chosen while the answer is on its way.
  if (reading && entry.preview) put(key, { preview: { ...entry.preview, reading }, refusal: null });
  try {
    const head = entry.file.slice(0, HEAD_BYTES);
    const preview = await postBytes<ImportPreviewBody>(`/api/imports/preview?${query}`, head);
    put(key, { preview, refusal: null, state: 'waiting' });
  } catch (thrown) {
    put(key, { refusal: troubleOf(thrown), state: 'waiting' });
  }
}

/** Imports all files that are ready, one after the other, until somebody stops it. */
export async function importAll(buildId: number): Promise<void> {
  const control = new AbortController();
  importing.value = control;
  for (const { key, file, preview } of ready.value) {
    if (control.signal.aborted) break;
    put(key, { state: 'sending', share: 0, refusal: null });
    const query = new URLSearchParams({
      name: file.name,
      build: String(buildId),
      modified: new Date(file.lastModified).toISOString(),
      reading: JSON.stringify(preview!.reading),
    });
    try {
      const imported = await postBytes<ImportedBody>(`/api/imports?${query}`, file, {
        signal: control.signal,
        onProgress: (share) => put(key, { share }),
      });
      put(key, { state: 'done', imported });
    } catch (thrown) {
      put(key, { state: 'waiting', refusal: troubleOf(thrown) });
    }
  }
  importing.value = null;
}

/** Other files that wait and have the same columns, as those of one logger have. */
export function likeIt(key: number): number[] {
  const form = formOf(queue.value.find((entry) => entry.key === key));
  return queue.value
    .filter((entry) => entry.key !== key && entry.state === 'waiting' && formOf(entry) === form)
    .map((entry) => entry.key);
}

/** Whether no file before it has the same columns. */
export const isFirstOfForm = (entry: QueuedFile): boolean =>
  queue.value.find((other) => formOf(other) === formOf(entry))?.key === entry.key;

const formOf = (entry: QueuedFile | undefined): string | undefined =>
  entry?.preview?.columns.map(({ name }) => name).join('\n');

function put(key: number, change: Partial<QueuedFile>): void {
  queue.value = queue.value.map((entry) => (entry.key === key ? { ...entry, ...change } : entry));
}

function tooLarge({ name, size }: File): ApiError | null {
  if (size <= MOST_FILE_BYTES) return null;
  return {
    code: 'too-large',
    where: name,
    found: `${(size / 1e6).toFixed(0)} MB`,
    wanted: 'at most 64 MB; the command import takes longer files',
  };
}
