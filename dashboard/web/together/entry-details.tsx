import { useEffect, useRef } from 'preact/hooks';
import { amountText, count, refusalSentence } from '../../wording/index.js';
import { address, go } from '../address.js';
import { analyses, analysisTroubles } from '../logbook.js';
import { shortTime } from '../pieces/times.js';
import { units } from '../units.js';
import { type ChosenBuild, chosenIds, referenceId } from './selection.js';

/** What can be done with a chosen build: leave remounts out, make it the reference, take it away. */
export function EntryDetails({ entry }: { readonly entry: ChosenBuild }) {
  const { recordings, included } = entry;
  const box = useRef<HTMLDetailsElement>(null);
  useEffect(() => closeFromOutside(box.current!), []);
  const isWhole = recordings.length === included.length;
  return (
    <details class="entry-details" ref={box}>
      <summary>
        {isWhole
          ? count(recordings.length, 'remount')
          : `${included.length} of ${count(recordings.length, 'remount')}`}
      </summary>
      <div class="panel">
        <ul>
          {recordings.map((recording) => (
            <li key={recording.id}>
              <label class="check">
                <input
                  type="checkbox"
                  checked={included.includes(recording)}
                  onChange={(event) => include(recording.id, event.currentTarget.checked)}
                />
                <span>
                  Remount {recording.remount}, {shortTime(recording.startedAt)}
                  <small>{aboutRecording(recording.id)}</small>
                </span>
              </label>
            </li>
          ))}
        </ul>
        {chosenIds.value.length > 1 && <EntryActions entry={entry} />}
      </div>
    </details>
  );
}

function EntryActions({ entry: { build, recordings } }: { readonly entry: ChosenBuild }) {
  const others = chosenIds.value.filter((id) => id !== build.id);
  const takeAway = () => {
    const without = address.value.without.filter((id) => !recordings.some((own) => own.id === id));
    go({ builds: others, without });
  };
  return (
    <p class="entry-actions">
      {build.id !== referenceId.value && (
        <button type="button" class="quiet" onClick={() => go({ builds: [build.id, ...others] })}>
          Make it the reference
        </button>
      )}
      <button type="button" class="quiet" onClick={takeAway}>
        Take it away
      </button>
    </p>
  );
}

function include(recordingId: number, isWanted: boolean): void {
  const others = address.value.without.filter((id) => id !== recordingId);
  go({ without: isWanted ? others : [...others, recordingId] }, 'replace');
}

function aboutRecording(id: number): string {
  const trouble = analysisTroubles.value.get(id);
  if (trouble) return trouble.found;
  const body = analyses.value.get(id);
  if (!body) return '';
  if (!body.ok) return refusalSentence(body.refusal);
  const { mean_N } = body.analysis.friction;
  return mean_N ? `drag ${amountText(mean_N, 'force', units.value)}` : 'drag not known';
}

/** Escape and a click elsewhere close the panel. */
function closeFromOutside(box: HTMLDetailsElement): () => void {
  const onClick = (event: MouseEvent) => {
    if (!box.contains(event.target as Node)) box.open = false;
  };
  const onKey = (event: KeyboardEvent) => {
    if (event.key !== 'Escape' || !box.open) return;
    box.open = false;
    box.querySelector('summary')?.focus();
  };
  document.addEventListener('click', onClick);
  document.addEventListener('keydown', onKey);
  return () => {
    document.removeEventListener('click', onClick);
    document.removeEventListener('keydown', onKey);
  };
}
