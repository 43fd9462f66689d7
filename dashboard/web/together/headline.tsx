import { amountText, differenceSentence, inOrderOfInterest } from '../../wording/index.js';
import { units } from '../units.js';
import { comparisons, pictured, type ShownComparison } from './pictured.js';
import { chosen } from './selection.js';

const list = new Intl.ListFormat('en-GB', { type: 'conjunction' });

/**
 * The finding in words: what differs most to the point, and what was looked for and not found. In a box of its own, since
 * a sentence that comes or goes has the browser look over all that follows it in the same box.
 */
export function Headline() {
  const [first, ...others] = comparisons.value;
  if (!first) return <h1>{withoutComparison()}</h1>;
  const [lead, second] = sentences(first);
  return (
    <div class="headline">
      <h1>{lead}</h1>
      {second && <p class="sentence">{second}</p>}
      {others.map((shown) => (
        <p key={shown.after.build.id} class="sentence">
          {sentences(shown)[0]}
        </p>
      ))}
    </div>
  );
}

function sentences({ before, after, comparison }: ShownComparison): string[] {
  const names = { before: before.build.name, after: after.build.name };
  return inOrderOfInterest(comparison.differences).map((difference) =>
    differenceSentence(difference, { names, remounts: comparison.remounts, units: units.value }),
  );
}

function withoutComparison(): string {
  const [only] = pictured.value;
  if (chosen.value.length === 1 && only?.drag_N)
    return `${only.name} drags ${amountText(only.drag_N, 'force', units.value)}.`;
  return list.format(chosen.value.map(({ build }) => build.name));
}
