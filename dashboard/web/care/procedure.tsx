import { useSignal } from '@preact/signals';
import type { CareProcedure, CareRig } from '../../server/api.js';
import { careWords } from '../../wording/index.js';
import { StartProcedure } from './start-procedure.js';
import { guided } from './state.js';
import { TypedReadings } from './typed-readings.js';

/** How one procedure is begun; or what was read elsewhere already. */
export function Procedure({ what, rig }: { readonly what: CareProcedure; readonly rig: CareRig | null }) {
  const isTyping = useSignal(false);
  // What is under way stands at the head of the place.
  if (guided.value.phase !== 'idle') return null;
  const mayType = what === 'force' || what === 'position' || what === 'angle';
  return (
    <section class="procedure">
      <h2>{what === 'check' ? 'Measure it now' : what === 'setup' ? 'Set it up' : 'Find it out'}</h2>
      <p>{careWords[what].about}</p>
      {isTyping.value && mayType ? (
        <TypedReadings what={what} rig={rig} />
      ) : (
        <StartProcedure key={what} what={what} hasHistory={(rig?.check ?? null) !== null} />
      )}
      {mayType && (
        <p>
          <button type="button" class="quiet" onClick={() => (isTyping.value = !isTyping.value)}>
            {isTyping.value ? 'Take readings at the rig instead' : 'I have readings already'}
          </button>
        </p>
      )}
    </section>
  );
}
