import { useComputed, useSignal, useSignalEffect } from '@preact/signals';
import { formatDecimals } from '../../wording/index.js';
import { address, go } from '../address.js';
import { Chart } from '../charts/chart.js';
import { forcePositionFigure } from '../charts/force-position.js';
import { forceVelocityFigure } from '../charts/force-velocity.js';
import { frictionBarsFigure } from '../charts/friction-bars.js';
import { analyses, analysisTroubles, needAnalyses, retryAnalyses } from '../logbook.js';
import { PlaceLink } from '../pieces/place-link.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { narrow, theme } from '../theme.js';
import { Chooser } from './chooser.js';
import { Differences } from './differences.js';
import { Headline } from './headline.js';
import { Noticed } from './noticed.js';
import { comparisons, pictured, type ShownComparison } from './pictured.js';
import { Reading } from './reading.js';
import { chosen, recordedBuilds, wantedRecordings } from './selection.js';

/** Where curves are read until somebody chooses: the speed that sentences quote. */
const QUOTED_SPEED_MM_PER_S = 100;

/** Builds seen over each other: the sentence, the pictures, the numbers, the next step. */
export function Together() {
  useSignalEffect(() => needAnalyses(wantedRecordings.value));
  const hovered = useSignal<number | null>(null);
  const readAt = useComputed(() => hovered.value ?? address.value.readAt_mm_per_s ?? QUOTED_SPEED_MM_PER_S);

  if (recordedBuilds.value.length === 0) return <NothingRecorded />;
  const missing = wantedRecordings.value.filter((id) => !analyses.value.has(id));
  const troubles = missing.flatMap((id) => analysisTroubles.value.get(id) ?? []);
  const builds = pictured.value;
  const drawnFrom = [builds, theme.value];

  return (
    <div class="together">
      <Headline />
      <Chooser />
      {troubles.length > 0 && <Trouble error={troubles[0]!} again={retryAnalyses} />}
      {missing.length > troubles.length && (
        <Waiting
          doing="Analysing the recordings"
          done={wantedRecordings.value.length - missing.length}
          of={wantedRecordings.value.length}
        />
      )}
      {builds.length > 0 && (
        <>
          <div class="main-picture">
            <Chart
              title="Force against velocity"
              note="Line: drag and damping. Band: 95 % interval over the remounts. Points: measured, less gas and inertia."
              height={narrow.value ? 320 : 440}
              figure={(size) => forceVelocityFigure(builds, theme.value, size, narrow.value)}
              drawnFrom={drawnFrom}
              fileName="force-against-velocity"
              reading={{ at: readAt.value, onRead: (at) => (hovered.value = Math.round(at)) }}
            />
            <Reading
              builds={builds}
              at_mm_per_s={readAt.value}
              onRead={(at) => {
                hovered.value = null;
                go({ readAt_mm_per_s: at }, 'replace');
              }}
            />
          </div>
          <div class="two-pictures">
            <Chart
              title="Drag and breakaway"
              note="Bar: over the remounts, with its 95 % interval. Marks: each remount alone."
              height={narrow.value ? 260 : 320}
              figure={(size) => frictionBarsFigure(builds, theme.value, size, narrow.value)}
              drawnFrom={drawnFrom}
              fileName="drag-and-breakaway"
            />
            <Chart
              title="Force against position"
              note="Line: the fastest stroke cycle of the last remount, as fitted. Points: all that was measured."
              height={narrow.value ? 300 : 320}
              figure={(size) => forcePositionFigure(builds, theme.value, size, narrow.value)}
              drawnFrom={drawnFrom}
              fileName="force-against-position"
            />
          </div>
        </>
      )}
      {comparisons.value.map((shown) => (
        <Differences key={shown.after.build.id} shown={shown} />
      ))}
      {comparisons.value.length > 0 && <Notes shown={comparisons.value} />}
      <Noticed builds={chosen.value} />
      <NextStep />
    </div>
  );
}

function Notes({ shown }: { readonly shown: readonly ShownComparison[] }) {
  const temperature = shown[0]!.comparison.temperature_degC;
  return (
    <p class="note">
      ± is half the 95 % interval, remount to remount. Smallest seen: the true difference that these remounts
      would show four times in five.
      {temperature !== null &&
        ` Damping in the table is brought to ${formatDecimals(temperature, 1)} °C; the pictures show it as measured.`}
    </p>
  );
}

function NextStep() {
  const last = chosen.value.at(-1);
  if (!last) return null;
  const [first] = comparisons.value;
  return (
    <section class="next-step">
      <h2>Next</h2>
      <ul>
        <li>
          <PlaceLink to={{ place: 'bench' }}>Record another remount</PlaceLink>: more remounts narrow every
          interval here.
        </li>
        {first && (
          <li>
            <a
              href={`/api/tables/comparison.csv?before=${first.before.build.id}&after=${first.after.build.id}`}
              download
            >
              Save the differences as CSV
            </a>{' '}
            (all complete remounts).
          </li>
        )}
      </ul>
    </section>
  );
}

function NothingRecorded() {
  return (
    <div class="empty">
      <h1>Nothing recorded yet.</h1>
      <p>Two builds of one shock are seen over each other here, once each has a recording.</p>
      <p>
        <PlaceLink to={{ place: 'bench' }} class="action">
          Connect a rig, or play the simulated one
        </PlaceLink>
      </p>
    </div>
  );
}
