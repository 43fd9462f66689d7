import { PlaceLink } from '../pieces/place-link.js';
import type { ShownComparison } from './pictured.js';
import { view } from './selection.js';

/** What can be done with what was seen. */
export function NextStep({ comparisons }: { readonly comparisons: readonly ShownComparison[] }) {
  return (
    <section class="next-step">
      <h2>Next</h2>
      <ul>
        <li>
          <PlaceLink to={{ view: { ...view.value, isReport: true } }}>
            Print this, or save it as a file to send
          </PlaceLink>
          : one sheet with the picture, the verdicts and what they rest on.
        </li>
        <li>
          <PlaceLink to={{ place: 'bench' }}>Record another remount</PlaceLink>: more remounts narrow every
          interval here.
        </li>
        {comparisons.map(({ before, after }) => (
          <li key={`next ${after.build.id}`}>
            <PlaceLink
              to={{ place: 'next', question: 'match', have: after.build.id, target: before.build.id }}
            >
              Does {after.build.name} match {before.build.name}?
            </PlaceLink>{' '}
            And which oil or drill would bring it there.
          </li>
        ))}
        {comparisons.map(({ before, after }) => (
          <li key={after.build.id}>
            <a href={`/api/tables/comparison.csv?before=${before.build.id}&after=${after.build.id}`} download>
              Save {after.build.name} against {before.build.name} as CSV
            </a>
            , all complete remounts.
          </li>
        ))}
        <li>
          <a href="/api/tables/summary.csv?by=build" download>
            Save a summary of all builds as CSV
          </a>
          .
        </li>
      </ul>
    </section>
  );
}
