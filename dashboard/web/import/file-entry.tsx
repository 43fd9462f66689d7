import type { ImportPreviewBody } from '../../server/api.js';
import { count, markReasonWords, oddWords, seenWords } from '../../wording/index.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { units } from '../units.js';
import { ColumnTable } from './column-table.js';
import { isFirstOfForm, likeIt, look, type QueuedFile, removeFile } from './queue.js';

/** One file: what it comes to, how it is read, and why it cannot be where it cannot. */
export function FileEntry({ entry }: { readonly entry: QueuedFile }) {
  const { file, state, preview, refusal, imported, key } = entry;
  const trouble = refusal ?? preview?.refusal ?? null;
  const seen = preview?.seen ?? null;
  const odd = seen && oddWords(seen, units.value);
  return (
    <li class="file">
      <div class="file-head">
        <h2>{file.name}</h2>
        {state !== 'sending' && (
          <button
            type="button"
            class="quiet"
            aria-label={`Leave out ${file.name}`}
            onClick={() => removeFile(key)}
          >
            {state === 'done' ? 'Clear' : 'Leave out'}
          </button>
        )}
      </div>
      {state === 'looking' && <Waiting doing={`Looking at ${file.name}`} />}
      {state === 'sending' && (
        <label class="sending">
          <span>Importing</span> <progress max={1} value={entry.share} />
        </label>
      )}
      {imported && (
        <p role="status">
          In the logbook as remount {imported.remount}: {imported.rows} rows.
        </p>
      )}
      {trouble && <Trouble error={trouble} />}
      {seen && state === 'waiting' && <p role="status">{seenWords(seen, units.value)}</p>}
      {odd && state === 'waiting' && (
        <p class="caution">
          <strong>Look: </strong>
          {odd}
        </p>
      )}
      {preview && state === 'waiting' && (
        <details open={isFirstOfForm(entry) || trouble !== null}>
          <summary>How it is read</summary>
          <Reading preview={preview} fileKey={key} name={file.name} />
        </details>
      )}
    </li>
  );
}

const delimiters = [
  [';', 'semicolon'],
  [',', 'comma'],
  ['\t', 'tab'],
] as const;
const marks = [
  ['.', 'point'],
  [',', 'comma'],
] as const;

function Reading(props: {
  readonly preview: ImportPreviewBody;
  readonly fileKey: number;
  readonly name: string;
}) {
  const { preview, fileKey, name } = props;
  const { reading } = preview;
  const why = markReasonWords({ ...preview, ...reading });
  const state = (change: Partial<typeof reading>) => void look(fileKey, { ...reading, ...change });
  const alike = likeIt(fileKey);
  return (
    <>
      <ColumnTable preview={preview} name={name} onState={(columns) => state({ columns })} />
      <div class="fields marks">
        <ChoiceField
          label="Between cells"
          value={reading.delimiter}
          choices={delimiters}
          onChange={(delimiter) => state({ delimiter })}
        >
          <small>{why.delimiter}</small>
        </ChoiceField>
        <ChoiceField
          label="Decimal mark"
          value={reading.decimalMark}
          choices={marks}
          onChange={(decimalMark) => state({ decimalMark })}
        >
          <small>{why.decimalMark}</small>
        </ChoiceField>
        <label class="field">
          <span>Lines before the numbers</span>
          <input
            type="text"
            inputMode="numeric"
            maxLength={4}
            value={reading.headerLines}
            onChange={(event) => state({ headerLines: Number(event.currentTarget.value) || 0 })}
          />
          <small>the first line of numbers follows them</small>
        </label>
      </div>
      {alike.length > 0 && (
        <button
          type="button"
          onClick={() => {
            for (const other of alike) void look(other, reading);
          }}
        >
          Read {count(alike.length, 'other file')} with these columns the same way
        </button>
      )}
    </>
  );
}
