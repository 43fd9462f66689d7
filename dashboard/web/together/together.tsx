import { useSignalEffect } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { formatDecimals } from '../../wording/index.js';
import type { PicturedBuild } from '../charts/pictured-build.js';
import { loadPlotly } from '../charts/plotly.js';
import { analyses, analysisTroubles, needAnalyses, retryAnalyses } from '../logbook.js';
import { InTurn } from '../pieces/in-turn.js';
import { PlaceLink } from '../pieces/place-link.js';
import { SimulatedNote } from '../pieces/simulated-note.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { Report } from '../report/report.js';
import { Chooser } from './chooser.js';
import { Differences } from './differences.js';
import { Headline } from './headline.js';
import { NextStep } from './next-step.js';
import { Noticed } from './noticed.js';
import { comparisons, pictured, type ShownComparison } from './pictured.js';
import { Pictures } from './pictures.js';
import { chosen, recordedBuilds, view, wantedRecordings } from './selection.js';
import { areSpreadsHere, needSpreads, retrySpreads, spreadsTrouble } from './spreads.js';
import { StartsAfterStanding, swept } from './starts.js';
import { ViewOptions } from './view-options.js';

/** Builds seen over each other: the sentence, the pictures, the numbers, the next step. */
export function Together() {
  useSignalEffect(() => needAnalyses(wantedRecordings.value));
  useSignalEffect(needSpreads);
  // Fetched while the analyses are on their way; a failure shows where the picture should be.
  useEffect(() => void loadPlotly().catch(() => {}), []);
  const lastPictured = useRef<readonly PicturedBuild[]>([]);

  if (recordedBuilds.value.length === 0) return <NothingRecorded />;
  const wanted = wantedRecordings.value;
  const missing = wanted.filter((id) => !analyses.value.has(id));
  const troubles = missing.flatMap((id) => analysisTroubles.value.get(id) ?? []);
  const isSettled = missing.length === troubles.length;
  const isWhole = isSettled && areSpreadsHere.value;
  if (isWhole) lastPictured.current = pictured.value;
  if (view.value.isReport && troubles.length === 0 && !spreadsTrouble.value)
    return isWhole ? (
      <Report />
    ) : (
      <Waiting doing="Analysing the recordings" done={wanted.length - missing.length} of={wanted.length} />
    );

  return (
    <div class="together">
      <Headline />
      <Chooser />
      <SimulatedNote recordings={chosen.value.flatMap(({ included }) => included)} />
      {troubles.length > 0 && <Trouble error={troubles[0]!} again={retryAnalyses} />}
      {spreadsTrouble.value && <Trouble error={spreadsTrouble.value} again={retrySpreads} />}
      {!isSettled && (
        <Waiting doing="Analysing the recordings" done={wanted.length - missing.length} of={wanted.length} />
      )}
      {lastPictured.current.length > 0 && <ViewOptions />}
      {lastPictured.current.length > 0 && <Pictures builds={lastPictured.current} />}
      <InTurn>
        <StartsAfterStanding builds={swept.value} />
      </InTurn>
      <InTurn>
        {comparisons.value.map((shown) => (
          <Differences key={shown.after.build.id} shown={shown} />
        ))}
        {comparisons.value.length > 0 && <Notes shown={comparisons.value} />}
        <Noticed builds={chosen.value} />
        <NextStep comparisons={comparisons.value} />
      </InTurn>
    </div>
  );
}

function Notes({ shown }: { readonly shown: readonly ShownComparison[] }) {
  const temperature = shown[0]!.comparison.temperature_degC;
  return (
    <p class="note">
      ± is half the 95 % interval, remount to remount. Resolvable: the true difference that these remounts
      would show four times in five.
      {temperature !== null &&
        ` Damping is brought to ${formatDecimals(temperature, 1)} °C here; the pictures show it ${view.value.at_degC === null ? 'as measured' : 'so, too'}.`}
    </p>
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
      <p>
        Recordings that you have from elsewhere come in as CSV:{' '}
        <PlaceLink to={{ place: 'builds', section: 'import' }}>bring them in</PlaceLink>.
      </p>
    </div>
  );
}
