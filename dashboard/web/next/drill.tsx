import { useSignal } from '@preact/signals';
import type { HolesBody } from '../../server/api.js';
import { drillingCaution, drillRows, holeSentences } from '../../wording/index.js';
import { typedNumber } from '../pieces/number-field.js';
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
import { plannedPicture } from './picture-of-pair.js';
import { isPistonTyped, PistonFields } from './piston-fields.js';
import { typedQuery } from './typed.js';
import { pistonNames } from './typed-names.js';
import { troubleElsewhere, useAnswer } from './use-answer.js';

/** Which drill brings a build to a target. */
export function DrillQuestion({ pair }: { readonly pair: Pair }) {
  const percent = useSignal('5');
  const query = new URLSearchParams({
    have: String(pair.have),
    target: String(pair.target),
    percent: typedNumber(percent.value),
  });
  const { body, trouble, isAsking } = useAnswer<HolesBody>(
    isPistonTyped() ? `/api/plan-holes?${query}&${typedQuery(pistonNames)}` : null,
  );
  const elsewhere = troubleElsewhere(trouble, ['have', 'target', 'percent', ...pistonNames]);
  return (
    <>
      <Sentences question="Which drill?" sentences={body ? holeSentences(body.answer, units.value) : []} />
      <p class="caution">
        <strong>A hole cannot be undone.</strong> {drillingCaution}
      </p>
      <form class="drill-form" onSubmit={(event) => event.preventDefault()}>
        <div class="fields">
          <PairChoice
            pair={pair}
            percent={percent.value}
            putPercent={(text) => (percent.value = text)}
            trouble={trouble}
          />
        </div>
        <PistonFields trouble={trouble} />
      </form>
      {!isPistonTyped() && (
        <p class="note">Measure the piston with calipers and type it in: the drills follow from it.</p>
      )}
      <SimulatedBuilds builds={[pair.have, pair.target]} />
      {elsewhere && <Trouble error={elsewhere} />}
      {isAsking && <Waiting doing="Looking for the drill" />}
      {body && <DrillAnswered body={body} />}
    </>
  );
}

function DrillAnswered({ body }: { readonly body: HolesBody }) {
  const { answer, curves, percent } = body;
  const predicted = answer.drills.map(({ name, curve }) => ({ name: `${name} drill`, total: curve }));
  const rows = drillRows(answer, units.value);
  return (
    <>
      <PairPicture
        title="Damping against velocity"
        note={
          `Hatched: the target, ${nameOfBuild(body.target.buildId)}, ± ${percent} %. ` +
          `Line: ${nameOfBuild(body.have.buildId)} as it is, with its 95 % interval. ` +
          'Thin and broken, predicted and not measured: after each drill.'
        }
        quantity="Damping"
        fileName="which-drill"
        picture={() => plannedPicture(body, curves, percent, predicted)}
        drawnFrom={[body]}
      />
      {rows.length > 0 && (
        <RowsTable
          caption="The drills, in small steps"
          rows={rows}
          columns={[
            { heading: 'Drill', cell: ({ name }) => name },
            { heading: 'Diameter, mm', isNumber: true, cell: ({ diameter }) => diameter },
            { heading: 'On the shelf', cell: ({ shelf }) => shelf || 'no' },
            { heading: 'Worst deviation', cell: ({ worst }) => worst },
            {
              heading: 'Verdict',
              cell: ({ verdict }) =>
                verdict && <TargetVerdict verdict={verdict as 'within' | 'outside' | 'undecided'} />,
            },
            { heading: 'Oil that brings it back', cell: ({ bringsBack }) => bringsBack || '–' },
          ]}
        />
      )}
      <NextList>
        {answer.advice === 'keep-holes' ? (
          <li>
            <PlaceLink to={{ question: 'match' }}>How near is it</PlaceLink>, speed by speed?
          </li>
        ) : answer.advice === 'drill' ? (
          <li>
            Drill the first size only, <PlaceLink to={{ place: 'bench' }}>record the drilled build</PlaceLink>
            , and ask here again before the next.
          </li>
        ) : (
          <li>
            <PlaceLink to={{ question: 'oil' }}>Which oil</PlaceLink> comes near with the holes as they are?
          </li>
        )}
      </NextList>
    </>
  );
}
