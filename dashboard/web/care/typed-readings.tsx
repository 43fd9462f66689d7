import { useSignal } from '@preact/signals';
import type { ApiError, CareRig, ReadingsBody, ReadProcedure } from '../../server/api.js';
import { enteredSentence } from '../../wording/index.js';
import { postBody, troubleOf } from '../api.js';
import { Trouble } from '../pieces/trouble.js';
import { evidenceOf } from './evidence.js';
import { Shown, sentenceOf } from './found-part.js';
import { isAboutPlan, PlanFields, usePlan } from './plan-fields.js';
import { refreshCare } from './state.js';

const examples: Readonly<Record<ReadProcedure, string>> = {
  force: 'mass_g,reading_counts\n0,41385\n100,62850\n…\n0,41386',
  position: 'length_mm,reading_counts\n0,4200\n5,5564\n…\n0,4201',
  angle: 'length_mm,reading_counts\n0,613\n4.2,1043\n…',
};

/** Readings that were taken elsewhere, in lines as a file of them has. */
export function TypedReadings({ what, rig }: { readonly what: ReadProcedure; readonly rig: CareRig | null }) {
  const text = useSignal('');
  const name = useSignal(rig?.name ?? '');
  const looked = useSignal<ReadingsBody | null>(null);
  const trouble = useSignal<ApiError | null>(null);
  const { typed, plan } = usePlan(what);
  const ask = async (enter: boolean) => {
    try {
      looked.value = await postBody<ReadingsBody>('/api/care/readings', {
        what,
        rig: name.value,
        text: text.value,
        plan: plan(),
        enter,
      });
      trouble.value = null;
      if (enter) await refreshCare();
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
      looked.value = null;
    }
  };
  const found = looked.value?.found;
  const evidence =
    found?.kind === 'part' ? evidenceOf({ part: found.part.part, evidence: found.evidence }) : null;
  return (
    <form
      class="typed-readings"
      onSubmit={(event) => {
        event.preventDefault();
        void ask(false);
      }}
    >
      <label class="field">
        <span>The rig’s name, as its firmware gives it</span>
        <input
          type="text"
          maxLength={80}
          value={name.value}
          onInput={(event) => (name.value = event.currentTarget.value)}
        />
      </label>
      <PlanFields
        what={what}
        typed={typed.value}
        trouble={trouble.value}
        onChange={(next) => (typed.value = next)}
      />
      <label class="field">
        <span>Known values and readings, a line each, in the order taken</span>
        <textarea
          rows={8}
          spellcheck={false}
          placeholder={examples[what]}
          value={text.value}
          onInput={(event) => (text.value = event.currentTarget.value)}
        />
      </label>
      {trouble.value && !isAboutPlan(trouble.value) && <Trouble error={trouble.value} />}
      <p>
        <button type="submit" class="action" disabled={text.value.trim() === ''}>
          Work it out
        </button>
      </p>
      {found?.kind === 'part' && (
        <>
          <p class="sentence" role="status">
            {sentenceOf(found.part, evidence)}
          </p>
          {evidence && <Shown evidence={evidence} />}
          {looked.value?.entered ? (
            <p role="status">{enteredSentence(what, name.value, looked.value.entered)}</p>
          ) : (
            <button type="button" class="action" onClick={() => void ask(true)}>
              Enter it for {name.value}
            </button>
          )}
        </>
      )}
    </form>
  );
}
