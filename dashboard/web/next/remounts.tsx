import type { RemountsBody } from '../../server/api.js';
import {
  moreNeeded,
  moreRemountsRows,
  moreRemountsSentences,
  resolvedName,
  resolvesPictureSentence,
} from '../../wording/index.js';
import { go } from '../address.js';
import { Chart } from '../charts/chart.js';
import { remountsFigure } from '../charts/remounts.js';
import { setting } from '../charts/setting.js';
import { PlaceLink } from '../pieces/place-link.js';
import { RowsTable } from '../pieces/rows-table.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { identityOfBuild } from '../together/selection.js';
import { units } from '../units.js';
import { NextList, nameOfBuild, Sentences, SimulatedBuilds } from './answer-parts.js';
import { oneBuild } from './pair.js';
import { BuildField } from './pair-choice.js';
import { type, typed, typedQuery } from './typed.js';
import { TypedField } from './typed-field.js';
import { remountsNames } from './typed-names.js';
import { troubleAt, troubleElsewhere, useAnswer } from './use-answer.js';

/** What the remounts of a build can see, and how many more see what matters. */
export function RemountsQuestion() {
  const have = oneBuild.value;
  const { body, trouble, isAsking } = useAnswer<RemountsBody>(
    have === null ? null : `/api/more-remounts?have=${have}&${typedQuery(remountsNames)}`,
  );
  if (have === null) return <NothingRecorded />;
  const elsewhere = troubleElsewhere(trouble, ['have', 'difference_N']);
  return (
    <>
      <Sentences
        question="How many more remounts?"
        sentences={body ? moreRemountsSentences(body.answer, units.value) : []}
      />
      <form class="fields" onSubmit={(event) => event.preventDefault()}>
        <BuildField
          label="The build"
          id={have}
          onChange={(id) => go({ have: id }, 'replace')}
          trouble={troubleAt(trouble, 'have')}
        />
        <label class="field">
          <span>What is compared</span>
          <select
            value={body?.answer.quantity ?? typed('quantity')}
            onChange={({ currentTarget: { value } }) => type({ quantity: value })}
          >
            {(body?.answer.quantities ?? []).map((quantity) => (
              <option key={quantity} value={quantity}>
                {resolvedName(quantity, units.value)}
              </option>
            ))}
          </select>
        </label>
        <TypedField
          name="difference_N"
          label="Difference that matters"
          unit="N"
          hint="One that you would feel or act on, not the one just seen: chance has shaped that."
          trouble={trouble}
        />
      </form>
      <SimulatedBuilds builds={[have]} />
      {elsewhere && <Trouble error={elsewhere} />}
      {isAsking && <Waiting doing="Looking at the remounts" />}
      {body && <RemountsAnswered body={body} />}
    </>
  );
}

function NothingRecorded() {
  return (
    <div class="empty">
      <h1>No remount is recorded yet.</h1>
      <p>
        Take the shock off and on again between two recordings: what they differ by says what a comparison can
        see. <PlaceLink to={{ place: 'bench' }}>Connect a rig, or play the simulated one</PlaceLink>.
      </p>
    </div>
  );
}

function RemountsAnswered({ body: { answer, buildId } }: { readonly body: RemountsBody }) {
  const more = moreNeeded(answer);
  return (
    <>
      <Chart
        title="What so many remounts of each build tell"
        sentence={resolvesPictureSentence(answer, units.value)}
        note="Line: the difference told from nothing four times in five, its band up to what the spread may be at worst. Dotted: reach of the 95 % interval of a difference."
        height={setting.value.isNarrow ? 400 : 380}
        figure={(size) => remountsFigure(answer, identityOfBuild(buildId), setting.value, size)}
        drawnFrom={[answer, setting.value]}
        fileName="how-many-remounts"
      />
      <RowsTable
        caption={`Remounts of each build, differences in ${units.value.force}`}
        rows={moreRemountsRows(answer, units.value)}
        columns={[
          { heading: 'Remounts', cell: ({ remounts }) => remounts },
          { heading: 'Reach of the interval, ±', isNumber: true, cell: ({ halfWidth }) => halfWidth },
          { heading: 'Told four times in five', isNumber: true, cell: ({ resolvable }) => resolvable },
          { heading: 'At worst', isNumber: true, cell: ({ cautious }) => cautious },
        ]}
      />
      <NextList>
        {answer.wanted === null && <li>Type the difference that matters, to know how many see it.</li>}
        {more === 0 && answer.wanted!.remounts !== answer.wanted!.withMeasuredSpread && (
          <li>
            <PlaceLink to={{ place: 'bench' }}>Record another remount</PlaceLink> to know the spread better,
            and ask here again.
          </li>
        )}
        {more !== 0 && (
          <li>
            <PlaceLink to={{ place: 'bench' }}>Record another remount</PlaceLink> of {nameOfBuild(buildId)}
            {more !== null && more > 1 && `, and ${more - 1} more after it`}: take the shock off in between.
          </li>
        )}
        <li>
          <PlaceLink to={{ place: 'together' }}>See the builds over each other</PlaceLink>, with what was
          resolved so far.
        </li>
      </NextList>
    </>
  );
}
