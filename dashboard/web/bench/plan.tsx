import { useSignal } from '@preact/signals';
import { mostRemounts } from '../../../analysis/index.js';
import type { ApiError, ApiProcedure } from '../../server/api.js';
import { sittingPlanSentences, sittingQuestionWords } from '../../wording/index.js';
import { NumberField, typedNumber } from '../pieces/number-field.js';
import { ProcedureChoice } from './procedure-choice.js';
import { chosen, planned, spreads } from './sitting.js';

/** What follows from the question: how the shock is moved, how often it is mounted, and why; all of it can be changed. */
export function Plan(props: {
  readonly procedures: readonly ApiProcedure[];
  readonly procedure: ApiProcedure;
}) {
  const { procedures, procedure } = props;
  const { asked, wanted_percent, plan } = planned.value;
  const sentences = sittingPlanSentences(asked, wanted_percent, plan, spreads.value);
  return (
    <fieldset class="plan">
      <legend>What follows</legend>
      <p>
        <strong>{procedure.title}.</strong> {sentences[0]}
      </p>
      {sentences.slice(1).map((sentence) => (
        <p key={sentence} class="note">
          {sentence}
        </p>
      ))}
      <details>
        <summary>Choose otherwise</summary>
        <div class="fields">
          <ProcedureChoice
            choices={procedures}
            chosen={procedure}
            choose={(id) => (chosen.procedure.value = id)}
          />
          {asked.decides !== 'nothing' && asked.decides !== 'spread' && (
            <FollowingField
              label={sittingQuestionWords[asked.id].wanted}
              unit="%"
              value={wanted_percent}
              most={100}
              put={(value) => (chosen.wanted_percent.value = value)}
            />
          )}
          <FollowingField
            label="Remounts of each build"
            unit=""
            value={plan.remounts}
            most={mostRemounts}
            isWhole
            put={(value) => (chosen.remounts.value = value)}
          />
        </div>
      </details>
    </fieldset>
  );
}

/** A number that follows from the question until somebody chooses another; emptied, it follows again. */
function FollowingField(props: {
  readonly label: string;
  readonly unit: string;
  readonly value: number;
  readonly most: number;
  readonly isWhole?: boolean;
  readonly put: (value: number | null) => void;
}) {
  const { label, unit, value, most, isWhole = false, put } = props;
  const trouble = useSignal<ApiError | null>(null);
  const take = (text: string) => {
    const number = Number(typedNumber(text));
    const fits = number > 0 && number <= most && (!isWhole || Number.isInteger(number));
    trouble.value =
      fits || text === ''
        ? null
        : {
            code: 'bad-number',
            found: `'${text}'`,
            wanted: isWhole ? `a whole number from 1 to ${most}` : `a number above 0, up to ${most}`,
            where: label,
          };
    if (trouble.value === null) put(text === '' ? null : number);
  };
  return (
    <NumberField label={label} unit={unit} value={String(value)} trouble={trouble.value} onChange={take} />
  );
}
