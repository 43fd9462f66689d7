import { findingSentence, notIdentifiedSentences, refusalSentence } from '../../wording/index.js';
import { analyses } from '../logbook.js';
import { FindingItem } from '../pieces/finding-item.js';
import { units } from '../units.js';
import type { ChosenBuild } from './selection.js';

interface Notice {
  readonly text: string;
  readonly isWarning: boolean;
  readonly remounts: readonly number[];
}

/** What the analysis noticed about the recordings shown, each thing once with the remounts it holds for. */
export function Noticed({ builds }: { readonly builds: readonly ChosenBuild[] }) {
  const entries = builds
    .map((entry) => ({ entry, notices: noticesOf(entry) }))
    .filter(({ notices }) => notices.length > 0);
  if (entries.length === 0) return null;
  return (
    <section class="noticed">
      <h2>What the recordings say about themselves</h2>
      {entries.map(({ entry, notices }) => (
        <div key={entry.build.id}>
          <h3>{entry.build.name}</h3>
          <ul>
            {notices.map((notice) => (
              <FindingItem key={notice.text} isWarning={notice.isWarning}>
                {notice.text}
                <small> {remountWords(notice.remounts, entry.included.length)}</small>
              </FindingItem>
            ))}
          </ul>
        </div>
      ))}
    </section>
  );
}

function noticesOf({ included }: ChosenBuild): Notice[] {
  const notices = new Map<string, { text: string; isWarning: boolean; remounts: number[] }>();
  const note = (key: string, text: string, isWarning: boolean, remount: number) => {
    const known = notices.get(key);
    if (known) known.remounts.push(remount);
    else notices.set(key, { text, isWarning, remounts: [remount] });
  };
  for (const { id, remount } of included) {
    const body = analyses.value.get(id);
    if (!body) continue;
    if (!body.ok) {
      note(body.refusal.code, refusalSentence(body.refusal), true, remount);
      continue;
    }
    for (const finding of body.analysis.findings)
      note(finding.code, findingSentence(finding, units.value), finding.severity === 'warning', remount);
    for (const text of notIdentifiedSentences(body.analysis.notIdentified)) note(text, text, false, remount);
  }
  return [...notices.values()].sort((a, b) => Number(b.isWarning) - Number(a.isWarning));
}

function remountWords(remounts: readonly number[], of: number): string {
  if (remounts.length === of) return of === 1 ? '' : `(all ${of} remounts)`;
  return `(remount ${remounts.join(', ')})`;
}
