import { type Signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type {
  ApiError,
  PortsBody,
  ProcedureChoiceId,
  StartedBody,
  StartRecordingBody,
} from '../../server/api.js';
import { fetchBody, postBody, troubleOf } from '../api.js';
import { refreshState, serverState, session } from '../live.js';
import { Trouble } from '../pieces/trouble.js';
import { Waiting } from '../pieces/waiting.js';
import { BuildChoice, type ChosenBuild, firstChoice } from './build-choice.js';
import { Cautions } from './cautions.js';
import { holdDrive } from './hold-drive.js';
import { ProcedureChoice } from './procedure-choice.js';
import { RigChoice } from './rig-choice.js';

/** Everything that has to be said before a recording can start, each with a choice already made. */
export function Setup() {
  const ports = useSignal<PortsBody | null>(null);
  const rig = useSignal<StartRecordingBody['rig'] | null>(null);
  const build = useSignal<ChosenBuild>(firstChoice());
  const procedure = useSignal<ProcedureChoiceId>('speed-ladder');
  const isRead = useSignal(false);
  const trouble = useSignal<ApiError | null>(null);

  const look = () => lookForPorts(ports, rig, trouble);
  useEffect(() => void look(), []);

  const found = ports.value;
  if (!found || !rig.value)
    return trouble.value ? (
      <Trouble error={trouble.value} again={look} />
    ) : (
      <Waiting doing="Looking for ports" />
    );

  const isPractice = rig.value.kind === 'practice';
  const choices = found.procedures.filter(({ needsDrive }) => needsDrive || !isPractice);
  const chosen = choices.find(({ id }) => id === procedure.value) ?? choices[0]!;
  const asksCautions = !isPractice && chosen.needsDrive && !(serverState.value?.cautionsRead ?? false);
  const isConnecting = session.value.phase === 'connecting';

  const start = async (event: Event) => {
    event.preventDefault();
    trouble.value = null;
    try {
      const body = { rig: rig.value, build: build.value, procedure: chosen.id, cautionsRead: isRead.value };
      const { lease } = await postBody<StartedBody>('/api/recordings', body);
      if (lease !== null) holdDrive(lease);
      await refreshState();
    } catch (thrown) {
      trouble.value = troubleOf(thrown);
    }
  };

  return (
    <form class="setup" onSubmit={start}>
      <RigChoice found={found} rig={rig} lookAgain={look} />
      <BuildChoice build={build} rig={rig.value} />
      <ProcedureChoice choices={choices} chosen={chosen} choose={(id) => (procedure.value = id)} />
      {asksCautions && <Cautions isRead={isRead.value} onRead={(value) => (isRead.value = value)} />}
      {trouble.value && <Trouble error={trouble.value} />}
      <p class="start">
        <button type="submit" class="action" disabled={isConnecting || (asksCautions && !isRead.value)}>
          Start recording
        </button>
        {asksCautions && !isRead.value && <span class="note">The cautions come first.</span>}
        {isConnecting && <span role="status">Asking the rig who it is …</span>}
      </p>
    </form>
  );
}

async function lookForPorts(
  ports: Signal<PortsBody | null>,
  rig: Signal<StartRecordingBody['rig'] | null>,
  trouble: Signal<ApiError | null>,
): Promise<void> {
  try {
    const found = await fetchBody<PortsBody>('/api/ports');
    // A computer's own ttyS ports have hardly ever a rig behind them.
    const port = found.ports.find(({ path }) => !/^\/dev\/ttyS\d+$/.test(path));
    ports.value = found;
    rig.value ??= port ? { kind: 'port', path: port.path } : { kind: 'practice', build: found.practice[0]! };
  } catch (thrown) {
    trouble.value = troubleOf(thrown);
  }
}
