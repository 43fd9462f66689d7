import type { ComponentChildren } from 'preact';
import { buildOf, remountsOf } from '../logbook.js';
import { SimulatedNote } from '../pieces/simulated-note.js';

/** The answer in words, first sentence first; until there is one, the question itself. */
export function Sentences(props: { readonly question: string; readonly sentences: readonly string[] }) {
  const [first, second, ...others] = props.sentences;
  return (
    <>
      <h1>{first ?? props.question}</h1>
      {second && <p class="sentence">{second}</p>}
      {others.length > 0 && (
        <ul class="more-sentences">
          {others.map((sentence) => (
            <li key={sentence}>{sentence}</li>
          ))}
        </ul>
      )}
    </>
  );
}

/** What to do with the answer. */
export function NextList(props: { readonly children: ComponentChildren }) {
  return (
    <section class="next-step">
      <h2>Next</h2>
      <ul>{props.children}</ul>
    </section>
  );
}

/** Says so where recordings of these builds were invented. */
export function SimulatedBuilds({ builds }: { readonly builds: readonly number[] }) {
  const recordings = builds.flatMap((id) => {
    const build = buildOf(id);
    return build ? remountsOf(build) : [];
  });
  return <SimulatedNote recordings={recordings} />;
}

export const nameOfBuild = (id: number): string => buildOf(id)?.name ?? `build ${id}`;
