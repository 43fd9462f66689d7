import type { PortsBody } from '../../server/api.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { PortField, PRACTICE } from '../pieces/port-field.js';
import { RigGlance } from './rig-glance.js';
import { practiceRig, rig } from './sitting.js';

/** A port of this machine, or the simulated rig with one of the shocks it can play. */
export function RigChoice(props: { readonly found: PortsBody; readonly lookAgain: () => void }) {
  const { found } = props;
  const chosen = rig.value!;
  return (
    <fieldset>
      <legend>Rig</legend>
      <div class="fields">
        <PortField
          label="Connected to"
          ports={found.ports}
          value={chosen.kind === 'port' ? chosen.path : PRACTICE}
          onChange={(path) => {
            rig.value = path === PRACTICE ? practiceRig() : { kind: 'port', path };
          }}
        />
        {chosen.kind === 'practice' && (
          <ChoiceField
            label="It plays"
            value={chosen.build}
            choices={found.practice.map((name) => [name, name.replaceAll('-', ' ')])}
            onChange={(build) => (rig.value = { kind: 'practice', build })}
          />
        )}
      </div>
      <RigGlance />
      <p class="note">
        {chosen.kind === 'practice'
          ? 'Nothing moves and no shock is measured; what it records is marked as simulated.'
          : 'The port is opened when the recording starts.'}{' '}
        {found.ports.length === 0 && 'No serial port was found: plug the rig in, then '}
        <button type="button" class="quiet" onClick={props.lookAgain}>
          Look for ports again
        </button>
      </p>
    </fieldset>
  );
}
