import { useSignal } from '@preact/signals';
import type { MatchBody } from '../../server/api.js';
import { judgedRows, matchSentences } from '../../wording/index.js';
import { ChoiceField } from '../pieces/choice-field.js';
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
import { judgedPicture } from './picture-of-pair.js';
import { troubleElsewhere, useAnswer } from './use-answer.js';

const quantities = { damping: 'Damping', total: 'Drag and damping' } as const;
type Kind = keyof typeof quantities;

/** Whether a build meets a target. */
export function MatchQuestion({ pair }: { readonly pair: Pair }) {
  const percent = useSignal('5');
  const kind = useSignal<Kind>('damping');
  const query = new URLSearchParams({
    have: String(pair.have),
    target: String(pair.target),
    percent: typedNumber(percent.value),
    kind: kind.value,
  });
  const { body, trouble, isAsking } = useAnswer<MatchBody>(`/api/match?${query}`);
  const elsewhere = troubleElsewhere(trouble, ['have', 'target', 'percent']);
  return (
    <>
      <Sentences
        question="Does it match a target?"
        sentences={body ? matchSentences(body.answer, units.value) : []}
      />
      <form class="fields" onSubmit={(event) => event.preventDefault()}>
        <PairChoice
          pair={pair}
          percent={percent.value}
          putPercent={(text) => (percent.value = text)}
          trouble={trouble}
        />
        <ChoiceField
          label="What is held against it"
          value={kind.value}
          choices={[
            ['damping', 'Damping alone'],
            ['total', 'Damping and drag together'],
          ]}
          onChange={(chosen) => (kind.value = chosen)}
        />
      </form>
      <SimulatedBuilds builds={[pair.have, pair.target]} />
      {elsewhere && <Trouble error={elsewhere} />}
      {isAsking && <Waiting doing="Holding the build against its target" />}
      {body && <MatchAnswered body={body} />}
    </>
  );
}

function MatchAnswered({ body }: { readonly body: MatchBody }) {
  const { answer } = body;
  const subject = quantities[answer.kind];
  return (
    <>
      <p class="verdict-line">
        <TargetVerdict verdict={answer.verdict} />
      </p>
      <PairPicture
        title={`${subject} against velocity`}
        note={
          `Hatched: the target, ${nameOfBuild(body.target.buildId)}, ± ${body.percent} %. ` +
          `Line: ${nameOfBuild(body.have.buildId)}, with the 95 % interval of its deviation.`
        }
        quantity={subject}
        fileName="against-target"
        picture={() => judgedPicture(body, answer.speeds)}
        drawnFrom={[body]}
      />
      <RowsTable
        caption="Speed by speed"
        rows={judgedRows(answer, units.value)}
        columns={[
          { heading: 'Speed', cell: ({ direction, speed }) => `${direction} ${speed}` },
          { heading: `Target, ${units.value.force}`, isNumber: true, cell: ({ target }) => target },
          { heading: 'Deviation, % (± 95 %)', isNumber: true, cell: ({ deviation }) => deviation },
          { heading: 'Allowed, %', isNumber: true, cell: ({ allowed }) => allowed },
          {
            heading: 'Verdict',
            cell: ({ verdict }) => <TargetVerdict verdict={verdict as MatchBody['answer']['verdict']} />,
          },
        ]}
      />
      <MatchNext body={body} />
    </>
  );
}

function MatchNext({ body }: { readonly body: MatchBody }) {
  const { verdict, worst } = body.answer;
  const { have, target } = body;
  return (
    <NextList>
      {verdict === 'undecided' && (
        <li>
          <PlaceLink to={{ place: 'bench' }}>Record another remount</PlaceLink> of {nameOfBuild(have.buildId)}
          , or faster speeds.
        </li>
      )}
      {verdict === 'within' && (
        <li>
          Leave it as it is. <PlaceLink to={{ question: 'remounts' }}>How many more remounts</PlaceLink> would
          a closer tolerance need?
        </li>
      )}
      {verdict === 'outside' && worst.deviation_N.value < 0 && (
        <li>
          It damps too little: <PlaceLink to={{ question: 'oil' }}>which oil brings it there?</PlaceLink>
        </li>
      )}
      {verdict === 'outside' && worst.deviation_N.value > 0 && (
        <li>
          It damps too much: <PlaceLink to={{ question: 'oil' }}>which thinner oil</PlaceLink>, or{' '}
          <PlaceLink to={{ question: 'drill' }}>which drill</PlaceLink>, brings it there?
        </li>
      )}
      <li>
        <PlaceLink to={{ place: 'together', builds: [target.buildId, have.buildId], without: [] }}>
          See both over each other
        </PlaceLink>
        , with their drag.
      </li>
    </NextList>
  );
}
