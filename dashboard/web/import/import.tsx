import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { count, sentenceCase } from '../../wording/index.js';
import { logbook } from '../logbook.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { PlaceLink } from '../pieces/place-link.js';
import { FileEntry } from './file-entry.js';
import { addFiles, importAll, importing, intoBuild, queue, ready } from './queue.js';

/** Recordings from files: dropped, looked at, confirmed, taken in. And everything out again. */
export function ImportSection() {
  const isOver = useSignal(false);
  useEffect(() => takeDrops(isOver), [isOver]);
  return (
    <>
      <h1>{headline()}</h1>
      <label class={`drop-zone file-button ${isOver.value ? 'over' : ''}`}>
        <input
          type="file"
          multiple
          accept=".csv,.txt,.tsv,text/csv,text/plain"
          onChange={(event) => {
            addFiles([...(event.currentTarget.files ?? [])]);
            event.currentTarget.value = '';
          }}
        />
        <span>Drop CSV files here, or choose them</span>
      </label>
      {queue.value.length === 0 && (
        <p class="note">
          A file needs columns of time, position and force, perhaps of oil temperature, in whichever units and
          language. How each file is read is shown first, with the reason, and can be put right. Compression
          counts as positive, and so does a force that pushes back; where a file has it the other way round,
          the analysis says so.
        </p>
      )}
      {queue.value.length > 0 && <IntoBuild />}
      <ul class="files">
        {queue.value.map((entry) => (
          <FileEntry key={entry.key} entry={entry} />
        ))}
      </ul>
      <section class="export">
        <h2>Everything out</h2>
        <p>
          <a href="/api/export.zip" download>
            Save the whole logbook
          </a>
        </p>
        <p class="note">
          A ZIP archive: each recording with its counts and times as CSV and all that is known of it as JSON,
          photos, and an index of shocks, builds and shelf. The command import reads each of its folders.
        </p>
      </section>
    </>
  );
}

function headline(): string {
  const files = queue.value;
  if (files.length === 0) return 'Bring in recordings that you have.';
  const done = files.filter(({ state }) => state === 'done').length;
  if (importing.value) return `Importing: ${done} of ${files.length} done.`;
  if (done === files.length) return sentenceCase(`${count(done, 'recording')} imported.`);
  return sentenceCase(`${count(ready.value.length, 'file')} ready to import.`);
}

function IntoBuild() {
  const builds = logbook.value?.builds ?? [];
  const { value: number } = intoBuild;
  const chosen = builds.some(({ id }) => id === number) ? number : (builds.at(-1)?.id ?? null);
  if (chosen === null)
    return (
      <p>
        There is no build yet that they could show.{' '}
        <PlaceLink to={{ section: 'lineage' }}>Make the first build</PlaceLink>; the files stay here.
      </p>
    );
  const isImporting = importing.value !== null;
  return (
    <div class="into-build">
      <ChoiceField
        label="They are recordings of"
        value={chosen}
        choices={builds.map(({ id, name }) => [id, name])}
        isDisabled={isImporting}
        onChange={(id) => (intoBuild.value = id)}
      />
      {isImporting ? (
        <button type="button" onClick={() => importing.value?.abort()}>
          Stop importing
        </button>
      ) : (
        <button
          type="button"
          class="action"
          disabled={ready.value.length === 0}
          onClick={() => void importAll(chosen)}
        >
          Import {count(ready.value.length, 'file')}, {ready.value.length > 1 ? 'each ' : ''}as a remount
        </button>
      )}
    </div>
  );
}

/** Takes files dropped anywhere on the page, and keeps the browser from opening them instead. */
function takeDrops(isOver: { value: boolean }): () => void {
  const hasFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false;
  const over = (event: DragEvent) => {
    if (!hasFiles(event)) return;
    event.preventDefault();
    isOver.value = true;
  };
  const leave = (event: DragEvent) => {
    if (event.relatedTarget === null) isOver.value = false;
  };
  const drop = (event: DragEvent) => {
    if (!hasFiles(event)) return;
    event.preventDefault();
    isOver.value = false;
    addFiles([...(event.dataTransfer?.files ?? [])]);
  };
  addEventListener('dragover', over);
  addEventListener('dragleave', leave);
  addEventListener('drop', drop);
  return () => {
    removeEventListener('dragover', over);
    removeEventListener('dragleave', leave);
    removeEventListener('drop', drop);
  };
}
