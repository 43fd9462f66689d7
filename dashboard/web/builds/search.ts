import { signal } from '@preact/signals';
import type { ApiBuild, ApiShock } from '../../server/api.js';
import { partLabel, partText } from '../../wording/index.js';

/** What is looked for among the builds; empty for all. */
export const sought = signal('');

/** Whether a build has every word that is sought, anywhere in what is said of it, whatever the case. */
export function isSought(build: ApiBuild, shock: ApiShock, words: string): boolean {
  const said = [
    build.name,
    shock.name,
    shock.note,
    build.change,
    build.note,
    ...build.photos.map(({ caption }) => caption),
    ...build.parts.map(({ part, properties }) => `${partLabel(part)} ${partText(part, properties)}`),
  ]
    .join('\n')
    .toLowerCase();
  return words
    .toLowerCase()
    .split(/\s+/)
    .every((word) => said.includes(word));
}
