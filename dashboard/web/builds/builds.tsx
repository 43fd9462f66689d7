import { useSignal, useSignalEffect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { BuildsBody } from '../../server/api.js';
import { count, sentenceCase } from '../../wording/index.js';
import { address, type Section, sections } from '../address.js';
import { ImportSection } from '../import/import.js';
import { completeRecordings, logbook, needAnalyses, remountsOf } from '../logbook.js';
import { useOpener } from '../pieces/keep-focus.js';
import { PlaceLink } from '../pieces/place-link.js';
import { Waiting } from '../pieces/waiting.js';
import { Bin } from './bin.js';
import { BuildForm } from './build-form.js';
import { followKeeping, keeping } from './keeping.js';
import { isSought, sought } from './search.js';
import { ShelfSection } from './shelf.js';
import { ShockBuilds } from './shock-builds.js';
import { UndoBar } from './undo-bar.js';

/** What was on the rig and what there is to build with; bringing files in and taking everything out. */
export function Builds() {
  const found = logbook.value;
  useEffect(followKeeping, []);
  if (!found) return <Waiting doing="Reading the logbook" />;
  const { section } = address.value;
  return (
    <div class="builds">
      <nav aria-label="Sections" class="questions">
        <ul>
          {sections.map((name) => (
            <li key={name}>
              <PlaceLink to={{ section: name }} current={name === section}>
                {sectionName(name)}
              </PlaceLink>
            </li>
          ))}
        </ul>
      </nav>
      <UndoBar />
      {section === 'lineage' && <Lineage found={found} />}
      {section === 'shelf' && <ShelfSection />}
      {section === 'import' && <ImportSection />}
      {section === 'bin' && <Bin />}
    </div>
  );
}

function sectionName(section: Section): string {
  const binned = keeping.value?.bin.length ?? 0;
  return {
    lineage: 'Lineage',
    shelf: 'Shelf',
    import: 'Import and export',
    bin: binned > 0 ? `Bin (${binned})` : 'Bin',
  }[section];
}

/** Each shock's builds, what changed from one to the next, and what was recorded of them. */
function Lineage({ found }: { readonly found: BuildsBody }) {
  const isMaking = useSignal(false);
  const opener = useOpener(isMaking.value);
  useSignalEffect(() => {
    const builds = logbook.value?.builds ?? [];
    needAnalyses(builds.flatMap((build) => remountsOf(build).map(({ id }) => id)));
  });
  const { builds, shocks } = found;
  const recordings = builds.reduce((sum, build) => sum + completeRecordings(build).length, 0);
  const words = sought.value.trim();
  const shown = shocks.map((shock) => {
    const ofShock = builds.filter(({ shockId }) => shockId === shock.id);
    return { shock, all: ofShock, found: ofShock.filter((build) => isSought(build, shock, words)) };
  });
  const hits = shown.reduce((sum, { found }) => sum + found.length, 0);
  return (
    <>
      <h1>{builds.length === 0 ? 'No builds yet.' : sentence(builds.length, shocks.length, recordings)}</h1>
      {builds.length === 0 ? (
        <p>
          A build is one state of a shock: its seal, oil, piston, cap. Make the first one here, record one on
          the bench, or bring in recordings that you have.
        </p>
      ) : (
        <label class="field search">
          <span>Search names, parts, changes and notes</span>
          <input
            type="search"
            maxLength={80}
            value={sought.value}
            onInput={(event) => (sought.value = event.currentTarget.value)}
          />
        </label>
      )}
      {words !== '' && (
        <p class="note" role="status">
          {hits === 0 ? `No build has “${words}” in it.` : `${sentenceCase(count(hits, 'build'))} found.`}
        </p>
      )}
      {shown
        .filter(({ found }) => found.length > 0)
        .map(({ shock, all, found }) => (
          <ShockBuilds key={shock.id} shock={shock} builds={all} shown={found} />
        ))}
      {isMaking.value ? (
        <BuildForm subject={{ kind: 'new', parent: null }} onDone={() => (isMaking.value = false)} />
      ) : (
        <div class="buttons">
          <button
            ref={opener}
            type="button"
            class={builds.length === 0 ? 'action' : ''}
            onClick={() => (isMaking.value = true)}
          >
            {builds.length === 0 ? 'Make the first build' : 'A first build of another shock'}
          </button>
          {builds.length === 0 && (
            <>
              <PlaceLink to={{ place: 'bench' }}>Record on the bench</PlaceLink>
              <PlaceLink to={{ section: 'import' }}>Import recordings</PlaceLink>
            </>
          )}
        </div>
      )}
    </>
  );
}

function sentence(builds: number, shocks: number, recordings: number): string {
  return sentenceCase(
    `${count(builds, 'build')} of ${count(shocks, 'shock')}, ${count(recordings, 'complete recording')}.`,
  );
}
