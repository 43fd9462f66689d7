import type { ShelfItemBody } from '../../server/api.js';
import { count, sentenceCase, shelfPartText } from '../../wording/index.js';
import { units } from '../units.js';
import { keeping, throwAway } from './keeping.js';
import { ShelfForm } from './shelf-form.js';

/** In the order they are shown. */
const headings: Readonly<Record<ShelfItemBody['kind'], string>> = {
  oil: 'Oils',
  piston: 'Pistons',
  seal: 'Seals',
  spring: 'Springs',
  drill: 'Drills',
};

/** What there is to build with: to pick from when a change is stated, and for the oil and drill advice. */
export function ShelfSection() {
  const shelf = keeping.value?.shelf ?? [];
  return (
    <>
      <h1>
        {shelf.length === 0
          ? 'Nothing on the shelf yet.'
          : sentenceCase(`${count(shelf.length, 'item')} on the shelf.`)}
      </h1>
      {shelf.length === 0 && (
        <p class="note">
          Put your oils there first, with the viscosity printed on the bottle: then “Which oil now?” names one
          of yours. Drills do the same for “Which drill?”.
        </p>
      )}
      <ShelfForm />
      <div class="shelf">
        {Object.entries(headings)
          .map(([kind, heading]) => ({ kind, heading, items: shelf.filter((item) => item.kind === kind) }))
          .filter(({ items }) => items.length > 0)
          .map(({ kind, heading, items }) => (
            <section key={kind}>
              <h2>{heading}</h2>
              <ul>
                {items.map(({ name, part }) => (
                  <li key={name}>
                    <span>
                      {name} <span class="note">{shelfPartText(part, units.value)}</span>
                    </span>
                    <button
                      type="button"
                      class="quiet"
                      aria-label={`Move ${kind} ${name} to the bin`}
                      onClick={() => void throwAway({ kind: 'shelf', item: `${kind}/${name}` })}
                    >
                      To the bin
                    </button>
                  </li>
                ))}
              </ul>
            </section>
          ))}
      </div>
    </>
  );
}
