import { useSignal } from '@preact/signals';
import type { ApiError, CareRig, LearntBody } from '../../server/api.js';
import { count, longRunSentence, sentenceCase } from '../../wording/index.js';
import { postBody, troubleOf } from '../api.js';
import { logbook, remountsOf } from '../logbook.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { Trouble } from '../pieces/trouble.js';
import { refreshCare } from './state.js';

/** How remounts on a rig differ, and a way to teach it from those of a build. */
export function LearnRemounts({ rig }: { readonly rig: CareRig }) {
  const chosen = useSignal<number | null>(null);
  const learnt = useSignal<LearntBody | null>(null);
  const trouble = useSignal<ApiError | null>(null);
  const remounted = (logbook.value?.builds ?? []).filter(
    (build) =>
      build.name !== rig.check?.standard &&
      remountsOf(build).filter((recording) => recording.rig.startsWith(rig.name)).length > 1,
  );
  const build = remounted.find(({ id }) => id === chosen.value) ?? remounted.at(-1);
  const spread = longRunSentence(rig.spreads);
  if (!build) return spread ? <p class="spread">{spread}</p> : null;
  const learn = async () => {
    try {
      trouble.value = null;
      learnt.value = await postBody<LearntBody>('/api/care/learn', { build: build.id });
      await refreshCare();
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
  };
  return (
    <section class="procedure">
      <h2>How remounts on it differ</h2>
      <p>
        {spread ??
          'Not known yet. Taught by remounts of some builds, it tells for single recordings of others what another mounting might have shown.'}
      </p>
      <ChoiceField
        label="Builds that were taken off and put back"
        value={build.id}
        choices={remounted.map(({ id, name }) => [id, name])}
        onChange={(id) => (chosen.value = id)}
      />
      <p>
        <button type="button" onClick={() => void learn()}>
          Let the rig learn from its remounts
        </button>
      </p>
      {learnt.value && (
        <p role="status">{sentenceCase(count(learnt.value.remounts, 'remount'))} taken into account.</p>
      )}
      {trouble.value && <Trouble error={trouble.value} />}
    </section>
  );
}
