import { plusMinus, refusalSentence } from '../../wording/index.js';
import { address, go } from '../address.js';
import { analyses, analysisTroubles } from '../logbook.js';
import { shortTime } from '../pieces/times.js';
import type { ChosenBuild } from './selection.js';

/** The remounts of a chosen build, each of which can be left out. */
export function RemountList({ entry }: { readonly entry: ChosenBuild }) {
  const { recordings, included } = entry;
  const all = recordings.length === included.length;
  const summary =
    recordings.length === 1
      ? '1 remount'
      : all
        ? `${recordings.length} remounts`
        : `${included.length} of ${recordings.length} remounts`;
  const toggle = (id: number, wanted: boolean) => {
    const without = address.value.without.filter((other) => other !== id);
    go({ without: wanted ? without : [...without, id] }, 'replace');
  };
  return (
    <details class="remounts">
      <summary>{summary}</summary>
      <ul>
        {recordings.map((recording) => (
          <li key={recording.id}>
            <label>
              <input
                type="checkbox"
                checked={included.includes(recording)}
                onChange={(event) => toggle(recording.id, event.currentTarget.checked)}
              />
              <span>
                Remount {recording.remount}, {shortTime(recording.startedAt)}
                <small>{aboutRecording(recording.id)}</small>
              </span>
            </label>
          </li>
        ))}
      </ul>
    </details>
  );
}

function aboutRecording(id: number): string {
  const trouble = analysisTroubles.value.get(id);
  if (trouble) return `${trouble.found}`;
  const body = analyses.value.get(id);
  if (!body) return '';
  if (!body.ok) return refusalSentence(body.refusal);
  const { mean_N } = body.analysis.friction;
  return mean_N ? `drag ${plusMinus(mean_N, 'N')}` : 'drag not known';
}
