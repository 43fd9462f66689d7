import { address, type Place, places } from './address.js';
import { Bench } from './bench/bench.js';
import { Builds } from './builds/builds.js';
import { Care } from './care/care.js';
import { isConnected, serverState, session } from './live.js';
import { logbook, logbookTrouble, refreshLogbook } from './logbook.js';
import { Next } from './next/next.js';
import { PlaceLink } from './pieces/place-link.js';
import { Trouble } from './pieces/trouble.js';
import { Waiting } from './pieces/waiting.js';
import { RigLine } from './rig-line.js';
import { Together } from './together/together.js';
import { UnitsChoice } from './units-choice.js';

const names: Readonly<Record<Place, string>> = {
  bench: 'Bench',
  builds: 'Builds',
  together: 'Together',
  next: 'Next step',
  care: 'Rig care',
};

/** The frame: places at the side (or the foot of a phone), the rig's state at the top, one place in between. */
export function App() {
  const { place } = address.value;
  const isRecording = session.value.phase === 'recording';
  document.title = `${isRecording ? 'Recording · ' : ''}${names[place]} · dashpot-bench`;
  return (
    <>
      <a class="skip" href="#place">
        Skip to the content
      </a>
      <nav class="places" aria-label="Places">
        <div class="stay">
          <p class="title">dashpot-bench</p>
          <ul>
            {places.map((name) => (
              <li key={name}>
                <PlaceLink to={{ place: name }} current={name === place}>
                  {names[name]}
                  {name === 'bench' && isRecording && <span class="recording-dot"> recording</span>}
                </PlaceLink>
              </li>
            ))}
          </ul>
        </div>
      </nav>
      <header class="rig-line">
        <RigLine />
        <UnitsChoice />
      </header>
      <main id="place" tabIndex={-1}>
        {!isConnected.value && (
          <p class="trouble" role="status">
            The connection to dashpot-bench is broken; trying again. If it was closed, start it again in its
            terminal.
          </p>
        )}
        {serverState.value?.caution && <p class="note caution">{serverState.value.caution}</p>}
        {logbookTrouble.value && <Trouble error={logbookTrouble.value} again={() => void refreshLogbook()} />}
        {logbook.value ? <PlaceContent place={place} /> : <Waiting doing="Reading the logbook" />}
      </main>
    </>
  );
}

function PlaceContent({ place }: { readonly place: Place }) {
  switch (place) {
    case 'bench':
      return <Bench />;
    case 'builds':
      return <Builds />;
    case 'together':
      return <Together />;
    case 'next':
      return <Next />;
    case 'care':
      return <Care />;
  }
}
