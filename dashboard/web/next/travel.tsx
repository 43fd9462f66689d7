import type { TravelBody } from '../../server/api.js';
import { sweepCaution, travelRows, travelSentences } from '../../wording/index.js';
import { Chart } from '../charts/chart.js';
import { setting } from '../charts/setting.js';
import { type SlowMark, slowStrokesFigure } from '../charts/slow-strokes.js';
import { PlaceLink } from '../pieces/place-link.js';
import { QuantityRows } from '../pieces/quantity-rows.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { units } from '../units.js';
import { NextList, Sentences } from './answer-parts.js';
import { chosenRecording, RecordingChoice } from './recording-choice.js';
import { typed, typedQuery } from './typed.js';
import { TypedField } from './typed-field.js';
import { type TypedName, travelNames } from './typed-names.js';
import { troubleElsewhere, useAnswer } from './use-answer.js';

/** Usable travel of a shock, what ends it, and what spacers leave of it. */
export function TravelQuestion() {
  const sweep = chosenRecording('sweep', 'travel-sweep');
  const { body, trouble, isAsking } = useAnswer<TravelBody>(
    sweep && `/api/travel?sweep=${sweep}&${queryOf()}`,
  );
  const elsewhere = troubleElsewhere(trouble, ['sweep', ...travelNames]);
  return (
    <>
      <Sentences
        question="How much travel is there?"
        sentences={body ? travelSentences(body.answer, units.value) : []}
      />
      <p class="caution">
        <strong>No motor into a stop.</strong> {sweepCaution}
      </p>
      {sweep === null && <NoSweep />}
      <form class="drill-form" onSubmit={(event) => event.preventDefault()}>
        <div class="fields">
          <RecordingChoice
            name="sweep"
            label="The travel sweep"
            procedure="travel-sweep"
            value={sweep ?? ''}
            {...(sweep === null && { none: 'none recorded yet' })}
            trouble={trouble}
          />
          <TypedField
            name="standing_mm"
            label="Compression where the vehicle stands"
            unit="mm"
            hint="From full extension: with it, spacers count."
            trouble={trouble}
          />
          <TypedField
            name="under_piston_mm"
            label="Spacers under the piston"
            unit="mm"
            hint="They take from the way down."
            trouble={trouble}
          />
          <TypedField
            name="outside_mm"
            label="Spacers outside the body"
            unit="mm"
            hint="They take from the way up."
            trouble={trouble}
          />
        </div>
        <details open={['inside_mm', 'piston_mm', 'nut_mm'].some((name) => typed(name as TypedName) !== '')}>
          <summary>Does the piston meet the body first? Lengths inside, by calipers</summary>
          <div class="fields">
            <TypedField
              name="inside_mm"
              label="Length inside the body"
              unit="mm"
              hint="From the seal’s seat to what ends the piston’s way."
              trouble={trouble}
            />
            <TypedField name="piston_mm" label="Piston’s thickness" unit="mm" trouble={trouble} />
            <TypedField name="nut_mm" label="Nut above the piston" unit="mm" trouble={trouble} />
          </div>
        </details>
      </form>
      {elsewhere && <Trouble error={elsewhere} />}
      {isAsking && <Waiting doing="Reading the sweep" />}
      {body && <TravelAnswered body={body} />}
    </>
  );
}

/** What counts only beside another field waits for it. */
function queryOf(): URLSearchParams {
  const isInside = typed('inside_mm') !== '' && typed('piston_mm') !== '';
  const stands = typed('standing_mm') !== '';
  return typedQuery([
    ...(stands ? (['standing_mm', 'outside_mm'] as const) : []),
    ...(stands || isInside ? (['under_piston_mm'] as const) : []),
    ...(isInside ? (['inside_mm', 'piston_mm', 'nut_mm'] as const) : []),
  ]);
}

function NoSweep() {
  return (
    <div class="empty">
      <p>
        No travel is swept yet. <PlaceLink to={{ place: 'bench' }}>Ask for it at the bench</PlaceLink>, which
        leads through a sweep by hand, or{' '}
        <PlaceLink to={{ place: 'builds', section: 'import' }}>bring in a file of a sweep</PlaceLink>.
      </p>
    </div>
  );
}

function TravelAnswered({ body: { answer, points } }: { readonly body: TravelBody }) {
  const { contact, fullExtension, travel_mm } = answer;
  const marks: SlowMark[] = [
    ...(contact ? [{ name: `${contact.kind} stop`, at_mm: contact.position_mm }] : []),
    ...(fullExtension ? [{ name: 'full extension', at_mm: fullExtension.position_mm }] : []),
  ];
  return (
    <>
      <Chart
        title="Force against position"
        note="Points: as measured, there and back. Upright lines: where an end is felt."
        height={setting.value.isNarrow ? 320 : 400}
        figure={() => slowStrokesFigure({ points, lines: [], marks }, setting.value)}
        drawnFrom={[points, answer, setting.value]}
        fileName="travel-sweep"
      />
      <QuantityRows caption="The travel" rows={travelRows(answer, units.value)} />
      <NextList>
        {answer.atLeast && (
          <li>Sweep it again, gently on until the end is felt, if the whole travel matters.</li>
        )}
        <li>
          <PlaceLink
            to={{ question: 'corner', typed: { ...cornerTyped(), travel_mm: travel_mm.value.toFixed(1) } }}
          >
            How much of this travel does a corner use?
          </PlaceLink>
        </li>
      </NextList>
    </>
  );
}

/** What is typed for the corner already stays. */
const cornerTyped = () =>
  Object.fromEntries(
    (['mass_g', 'rate', 'pull', 'proposed_rate', 'rate_unit', 'drop_mm', 'motion_ratio'] as const).flatMap(
      (name) => (typed(name) ? [[name, typed(name)]] : []),
    ),
  );
