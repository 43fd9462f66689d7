import type { ComponentChildren } from 'preact';
import { buildOf, remountsOf } from '../logbook.js';

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
export function SimulatedNote({ builds }: { readonly builds: readonly number[] }) {
  const recordings = builds.flatMap((id) => {
    const build = buildOf(id);
    return build ? remountsOf(build) : [];
  });
  const simulated = recordings.filter((recording) => recording.simulated).length;
  if (simulated === 0) return null;
  return (
    <p class="note">
      {simulated === recordings.length ? 'These recordings were' : `${simulated} of these recordings were`}{' '}
      made by the simulated rig: no shock was measured.
    </p>
  );
}

export const nameOfBuild = (id: number): string => buildOf(id)?.name ?? `build ${id}`;
