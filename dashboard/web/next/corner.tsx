import type { CornerBody } from '../../server/api.js';
import {
  cornerSpringsRows,
  cornerSpringsSentences,
  landingPictureSentence,
  springCaution,
  swingPictureSentence,
} from '../../wording/index.js';
import { Chart } from '../charts/chart.js';
import { motionFigure } from '../charts/motion.js';
import { setting } from '../charts/setting.js';
import { PlaceLink } from '../pieces/place-link.js';
import { RowsTable } from '../pieces/rows-table.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { identityOfBuild } from '../together/selection.js';
import { units } from '../units.js';
import { NextList, Sentences, SimulatedBuilds } from './answer-parts.js';
import { CornerFields, usualCorner } from './corner-fields.js';
import { oneBuild } from './pair.js';
import { typed, typedQuery } from './typed.js';
import { cornerNames } from './typed-names.js';
import { troubleElsewhere, useAnswer } from './use-answer.js';

/** How a corner stands, swings and lands with a measured shock, on its spring and on another. */
export function CornerQuestion() {
  const have = oneBuild.value;
  const isComplete =
    have !== null && typed('mass_g') !== '' && (typed('rate') !== '' || typed('pull') !== '');
  const { body, trouble, isAsking } = useAnswer<CornerBody>(
    isComplete ? `/api/corner?have=${have}&${typedQuery(cornerNames, usualCorner)}` : null,
  );
  if (have === null) return <NoShock />;
  const elsewhere = troubleElsewhere(trouble, ['have', ...cornerNames]);
  return (
    <>
      <Sentences
        question="How does it ride and land?"
        sentences={body ? cornerSpringsSentences(body.answer, units.value) : []}
      />
      <p class="caution">
        <strong>Springs fly.</strong> {springCaution}
      </p>
      <CornerFields have={have} trouble={trouble} />
      {!isComplete && (
        <p class="note">
          Type the mass that this corner carries and the rate of its spring: how it stands, swings and lands
          follows from them and from the shock as it was measured.
        </p>
      )}
      <SimulatedBuilds builds={[have]} />
      {elsewhere && <Trouble error={elsewhere} />}
      {isAsking && <Waiting doing="Letting it swing and land" />}
      {body && <CornerAnswered body={body} />}
    </>
  );
}

function NoShock() {
  return (
    <div class="empty">
      <h1>No shock is measured yet.</h1>
      <p>
        Record a build: how a corner rides and lands follows from its measured damping and drag.{' '}
        <PlaceLink to={{ place: 'bench' }}>Connect a rig, or play the simulated one</PlaceLink>.
      </p>
    </div>
  );
}

function CornerAnswered({ body: { answer, buildId } }: { readonly body: CornerBody }) {
  const { corners, travel_mm } = answer;
  const { colour } = identityOfBuild(buildId);
  const isNarrow = setting.value.isNarrow;
  const linesOf = (motion: 'swing' | 'landing') =>
    corners.flatMap(({ spring, [motion]: drawn }, i) =>
      drawn ? [{ name: spring.name, colour, dash: dashes[i] ?? 'dot', ...drawn }] : [],
    );
  const [swings, landings] = [linesOf('swing'), linesOf('landing')];
  return (
    <>
      {swings.length > 0 && (
        <Chart
          title="Pushed down and let go"
          sentence={swingPictureSentence(answer, units.value)}
          note="Calculated from the measured shock, not measured on a vehicle. Zero is where it stands without drag."
          height={isNarrow ? 320 : 360}
          figure={(size) =>
            motionFigure(
              {
                lines: swings,
                quantity: 'Height of the body',
                time: 'Time after letting go, s',
                stop_mm: null,
              },
              setting.value,
              size,
            )
          }
          drawnFrom={[answer, setting.value]}
          fileName="free-response"
        />
      )}
      {landings.length > 0 && (
        <Chart
          title="Landing"
          sentence={landingPictureSentence(answer, units.value)}
          note="Calculated from the measured shock, not measured on a vehicle. A cross is where the stop is met; what comes after is not known."
          height={isNarrow ? 320 : 360}
          figure={(size) =>
            motionFigure(
              {
                lines: landings,
                quantity: 'Shock travel used',
                time: 'Time after touching the ground, s',
                stop_mm: travel_mm,
              },
              setting.value,
              size,
            )
          }
          drawnFrom={[answer, setting.value]}
          fileName="landing"
        />
      )}
      <RowsTable
        caption="The corner (± 95 %)"
        rows={cornerSpringsRows(answer, units.value)}
        columns={[
          { heading: 'Quantity', cell: ({ quantity }) => quantity },
          ...corners.map(({ spring }, i) => ({
            heading: spring.name,
            isNumber: true,
            cell: ({ cells }: { readonly cells: readonly string[] }) => cells[i]!,
          })),
        ]}
      />
      <p class="note">
        Intervals hold damping, drag and a pulled spring’s rate for uncertain, masses and lengths as typed. An
        asterisk: faster than the shock was measured.
      </p>
      <NextList>
        {corners.length === 1 && <li>Type the rate of another spring to see both over each other.</li>}
        <li>
          <PlaceLink to={{ question: 'travel' }}>How much travel is there really?</PlaceLink> A sweep into the
          stop tells.
        </li>
        <li>
          <PlaceLink to={{ question: 'spring' }}>What spring is this?</PlaceLink> A pull gives its rate with
          an interval; labels are off by a tenth and more.
        </li>
      </NextList>
    </>
  );
}

/** The present spring whole, the proposed one broken. */
const dashes = ['solid', 'dash'] as const;
