import { useSignalEffect } from '@preact/signals';
import { count, sentenceCase } from '../../wording/index.js';
import { completeRecordings, logbook, needAnalyses } from '../logbook.js';
import { PlaceLink } from '../pieces/place-link.js';
import { Waiting } from '../pieces/waiting.js';
import { ShockBuilds } from './shock-builds.js';

/** What was on the rig: each shock's builds, what changed from one to the next, and what was recorded of them. */
export function Builds() {
  const found = logbook.value;
  useSignalEffect(() => {
    const builds = logbook.value?.builds ?? [];
    needAnalyses(builds.flatMap((build) => completeRecordings(build).map(({ id }) => id)));
  });
  if (!found) return <Waiting doing="Reading the logbook" />;
  if (found.builds.length === 0)
    return (
      <div class="empty">
        <h1>No builds yet.</h1>
        <p>
          A build is one state of a shock: its seal, oil, piston, cap. The first one is made on the bench.
        </p>
        <p>
          <PlaceLink to={{ place: 'bench' }} class="action">
            Record the first build
          </PlaceLink>
        </p>
      </div>
    );
  const recordings = found.builds.reduce((sum, build) => sum + completeRecordings(build).length, 0);
  return (
    <div class="builds">
      <h1>{sentence(found.builds.length, found.shocks.length, recordings)}</h1>
      {found.shocks.map((shock) => (
        <ShockBuilds
          key={shock.id}
          shock={shock}
          builds={found.builds.filter(({ shockId }) => shockId === shock.id)}
        />
      ))}
    </div>
  );
}

function sentence(builds: number, shocks: number, recordings: number): string {
  return sentenceCase(
    `${count(builds, 'build')} of ${count(shocks, 'shock')}, ${count(recordings, 'complete recording')}.`,
  );
}
