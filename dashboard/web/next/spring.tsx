import type { SpringBody } from '../../server/api.js';
import { springCaution, springRows, springSentences } from '../../wording/index.js';
import { Chart } from '../charts/chart.js';
import { setting } from '../charts/setting.js';
import { lineThrough, slowStrokesFigure } from '../charts/slow-strokes.js';
import { PlaceLink } from '../pieces/place-link.js';
import { QuantityRows } from '../pieces/quantity-rows.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { units } from '../units.js';
import { NextList, Sentences } from './answer-parts.js';
import { chosenRecording, RecordingChoice } from './recording-choice.js';
import { typed, typedQuery } from './typed.js';
import { RateUnitField, rateUnit, TypedField } from './typed-field.js';
import { springNames, type TypedName } from './typed-names.js';
import { troubleElsewhere, useAnswer } from './use-answer.js';

const groups: readonly (readonly TypedName[])[] = [
  ['wire_mm', 'coil_mm', 'coils'],
  ['mass_before_g', 'mass_after_g'],
];

/** Rate, preload and label of a spring that was pulled. */
export function SpringQuestion() {
  const pull = chosenRecording('pull', 'spring-pull');
  const { body, trouble, isAsking } = useAnswer<SpringBody>(pull && `/api/spring?pull=${pull}&${queryOf()}`);
  const elsewhere = troubleElsewhere(trouble, ['pull', ...springNames]);
  return (
    <>
      <Sentences
        question="What spring is this?"
        sentences={body ? springSentences(body.answer, units.value) : []}
      />
      <p class="caution">
        <strong>Springs fly.</strong> {springCaution}
      </p>
      {pull === null && <NoPull />}
      <form class="drill-form" onSubmit={(event) => event.preventDefault()}>
        <div class="fields">
          <RecordingChoice
            name="pull"
            label="The pull of the spring"
            procedure="spring-pull"
            value={pull ?? ''}
            {...(pull === null && { none: 'none recorded yet' })}
            trouble={trouble}
          />
          <RateUnitField />
          <TypedField name="label" label="Rate on its label" unit={rateUnit()} trouble={trouble} />
        </div>
        <details
          open={springNames.some((name) => name !== 'label' && name !== 'rate_unit' && typed(name) !== '')}
        >
          <summary>Another mass, the bare shock, wire and coils</summary>
          <div class="fields">
            <TypedField
              name="mass_before_g"
              label="Mass on this corner that it suits"
              unit="g"
              hint="With the mass to come: the spring that keeps ride and sag."
              trouble={trouble}
            />
            <TypedField name="mass_after_g" label="Mass to come" unit="g" trouble={trouble} />
            <RecordingChoice
              name="bare"
              label="The same shock without the spring"
              procedure="spring-pull"
              value={typed('bare')}
              none="not pulled"
              trouble={trouble}
            />
            <TypedField name="wire_mm" label="Diameter of the wire" unit="mm" trouble={trouble} />
            <TypedField
              name="coil_mm"
              label="Mean diameter of the coils"
              unit="mm"
              hint="The outer one less a wire."
              trouble={trouble}
            />
            <TypedField name="coils" label="Coils that work" unit="" trouble={trouble} />
          </div>
        </details>
      </form>
      {elsewhere && <Trouble error={elsewhere} />}
      {isAsking && <Waiting doing="Reading the pull" />}
      {body && <SpringAnswered body={body} />}
    </>
  );
}

/** Fields that count only together wait for each other. */
function queryOf(): URLSearchParams {
  const waiting = groups.filter((group) => group.some((name) => typed(name) === '')).flat();
  return typedQuery(springNames.filter((name) => !waiting.includes(name)));
}

function NoPull() {
  return (
    <div class="empty">
      <p>
        No spring is pulled yet. <PlaceLink to={{ place: 'bench' }}>Ask for it at the bench</PlaceLink>, which
        leads through a pull there and back, or{' '}
        <PlaceLink to={{ place: 'builds', section: 'import' }}>bring in a file of a pull</PlaceLink>. A spring
        whose rate is known already can be typed in at{' '}
        <PlaceLink to={{ question: 'corner' }}>how it rides and lands</PlaceLink>.
      </p>
    </div>
  );
}

function SpringAnswered({ body: { answer, points, recordingId } }: { readonly body: SpringBody }) {
  const { rate_N_per_mm, from_mm, to_mm, preload_N, label } = answer;
  return (
    <>
      <Chart
        title="Force against position"
        note="Points: as measured, there and back. Line: the rate of the spring over the stretch that it was read from."
        height={setting.value.isNarrow ? 320 : 400}
        figure={() =>
          slowStrokesFigure(
            { points, lines: [lineThrough(points, rate_N_per_mm.value, [from_mm, to_mm])], marks: [] },
            setting.value,
          )
        }
        drawnFrom={[points, answer, setting.value]}
        fileName="spring-pull"
      />
      <QuantityRows caption="The spring" rows={springRows(answer, units.value)} />
      <NextList>
        {preload_N === null && <li>Pull it there and back: one way alone does not tell its preload.</li>}
        {label?.verdict === 'differs' && (
          <li>Write the measured rate on the spring, and calculate with that one.</li>
        )}
        <li>
          <PlaceLink to={{ question: 'corner', typed: { pull: String(recordingId) } }}>
            How does a corner ride and land on it?
          </PlaceLink>
        </li>
      </NextList>
    </>
  );
}
