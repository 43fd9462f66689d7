import { useSignal } from '@preact/signals';
import type { OilBody } from '../../server/api.js';
import { oilSentences, shelfRows } from '../../wording/index.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { NumberField, typedNumber } from '../pieces/number-field.js';
import { PlaceLink } from '../pieces/place-link.js';
import { RowsTable } from '../pieces/rows-table.js';
import { TargetVerdict } from '../pieces/target-verdict.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { units } from '../units.js';
import { NextList, nameOfBuild, Sentences, SimulatedBuilds } from './answer-parts.js';
import type { Pair } from './pair.js';
import { PairChoice } from './pair-choice.js';
import { PairPicture } from './pair-picture.js';
import { judgedCurve, plannedPicture } from './picture-of-pair.js';
import { type, typed } from './typed.js';
import { troubleAt, troubleElsewhere, useAnswer } from './use-answer.js';

type Restore = OilBody['answer']['restores'];
const usualPercent = { damping: '5', total: '10' } as const;
const quantities = { damping: 'Damping', total: 'Drag and damping' } as const;

/** Which oil brings a build to a target, or its former total force back. */
export function OilQuestion({ pair }: { readonly pair: Pair }) {
  const restore = useSignal<Restore>('damping');
  const percent = useSignal<string>(usualPercent.damping);
  const oil_cSt = typed('oil_cSt');
  const query = new URLSearchParams({
    have: String(pair.have),
    target: String(pair.target),
    percent: typedNumber(percent.value),
    restore: restore.value,
    ...(oil_cSt && { oil_cSt: typedNumber(oil_cSt) }),
  });
  const { body, trouble, isAsking } = useAnswer<OilBody>(`/api/plan-oil?${query}`);
  const elsewhere = troubleElsewhere(trouble, ['have', 'target', 'percent', 'oil_cSt']);
  return (
    <>
      <Sentences question="Which oil now?" sentences={body ? oilSentences(body.answer, units.value) : []} />
      <form class="fields" onSubmit={(event) => event.preventDefault()}>
        <PairChoice
          pair={pair}
          percent={percent.value}
          putPercent={(text) => (percent.value = text)}
          trouble={trouble}
        />
        <ChoiceField
          label="What the oil should bring"
          value={restore.value}
          choices={[
            ['damping', 'The target’s damping'],
            ['total', 'The target’s total force, its drag made up for'],
          ]}
          onChange={(chosen) => {
            restore.value = chosen;
            percent.value = usualPercent[chosen];
          }}
        />
        <NumberField
          label="Oil in it now"
          unit="cSt at 25 °C"
          hint="Empty: what the logbook says about the build. The printed viscosity, not the weight."
          value={oil_cSt}
          trouble={troubleAt(trouble, 'oil_cSt')}
          onChange={(text) => type({ oil_cSt: text })}
        />
      </form>
      <SimulatedBuilds builds={[pair.have, pair.target]} />
      {elsewhere && <Trouble error={elsewhere} />}
      {isAsking && <Waiting doing="Looking for the oil" />}
      {body && <OilAnswered body={body} />}
    </>
  );
}

function OilAnswered({ body }: { readonly body: OilBody }) {
  const { answer, curves, percent } = body;
  const subject = quantities[answer.restores];
  const rows = shelfRows(answer, units.value);
  return (
    <>
      <PairPicture
        title={`${subject} against velocity`}
        note={
          `Hatched: the target, ${nameOfBuild(body.target.buildId)}, ± ${percent} %. ` +
          `Line: ${nameOfBuild(body.have.buildId)} as it is, with its 95 % interval. ` +
          'Dotted, predicted and not measured: with an oil of exactly the wanted viscosity.'
        }
        quantity={subject}
        fileName="which-oil"
        picture={() =>
          plannedPicture(body, curves, percent, [{ name: 'With that oil', total: withThatOil(body) }])
        }
        drawnFrom={[body]}
      />
      {rows.length > 0 && (
        <RowsTable
          caption="The shelf"
          rows={rows}
          columns={[
            { heading: 'Oil', cell: ({ label }) => label },
            { heading: 'cSt at 25 °C', isNumber: true, cell: ({ viscosity }) => viscosity },
            { heading: 'Over the wanted', isNumber: true, cell: ({ over }) => over },
            { heading: 'Worst deviation', cell: ({ worst }) => worst },
            {
              heading: 'Verdict',
              cell: ({ verdict }) =>
                verdict && <TargetVerdict verdict={verdict as 'within' | 'outside' | 'undecided'} />,
            },
          ]}
        />
      )}
      <NextList>
        {answer.advice === 'drill' && (
          <li>
            <PlaceLink to={{ question: 'drill' }}>Which drill</PlaceLink> brings it there, in small steps?
          </li>
        )}
        {answer.shelf.length === 0 && (
          <li>
            <PlaceLink to={{ place: 'builds', section: 'shelf' }}>Enter your oils on the shelf</PlaceLink>,
            with your labels and the printed viscosities.
          </li>
        )}
        {answer.advice === 'keep-oil' ? (
          <li>
            <PlaceLink to={{ question: 'match' }}>How near is it</PlaceLink>, speed by speed?
          </li>
        ) : (
          <li>
            Pour it in, <PlaceLink to={{ place: 'bench' }}>record the build with its new oil</PlaceLink>, and
            ask here whether it matches.
          </li>
        )}
      </NextList>
    </>
  );
}

/** What would be measured with an oil of exactly the wanted viscosity. */
function withThatOil({ answer }: OilBody): ReturnType<typeof judgedCurve> {
  if (answer.remaining) return judgedCurve(answer.remaining.speeds);
  return (answer.total?.speeds ?? []).map(({ velocity_m_per_s, after_N }) => {
    const force_N = Math.sign(velocity_m_per_s) * after_N;
    return { velocity_m_per_s, force_N, standardError_N: 0, low95_N: force_N, high95_N: force_N };
  });
}
