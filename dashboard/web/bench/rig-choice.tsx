import type { PortsBody } from '../../server/api.js';
import { RigGlance } from './rig-glance.js';
import { rig } from './sitting.js';

/** A port of this machine, or the simulated rig with one of the shocks it can play. */
export function RigChoice(props: { readonly found: PortsBody; readonly lookAgain: () => void }) {
  const { found } = props;
  const chosen = rig.value!;
  const choose = (value: string) => {
    rig.value =
      value === '' ? { kind: 'practice', build: found.practice[0]! } : { kind: 'port', path: value };
  };
  return (
    <fieldset>
      <legend>Rig</legend>
      <div class="fields">
        <label class="field">
          <span>Connected to</span>
          <select
            value={chosen.kind === 'port' ? chosen.path : ''}
            onChange={(event) => choose(event.currentTarget.value)}
          >
            {found.ports.map(({ path, about }) => (
              <option key={path} value={path}>
                {about ? `${path} (${about})` : path}
              </option>
            ))}
            <option value="">Practice rig (simulated)</option>
          </select>
        </label>
        {chosen.kind === 'practice' && (
          <label class="field">
            <span>It plays</span>
            <select
              value={chosen.build}
              onChange={(event) => (rig.value = { kind: 'practice', build: event.currentTarget.value })}
            >
              {found.practice.map((name) => (
                <option key={name} value={name}>
                  {name.replaceAll('-', ' ')}
                </option>
              ))}
            </select>
          </label>
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
