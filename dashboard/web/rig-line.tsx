import { serverState, session } from './live.js';
import { logbook } from './logbook.js';
import { shortTime } from './pieces/times.js';

/** The rig's state in one line, on every place. */
export function RigLine() {
  const now = session.value;
  return (
    <p>
      <span class={`rig-mark ${now.phase}`} aria-hidden="true" />
      {rigWords()}
      <span class="logbook-name">{serverState.value && `Logbook: ${serverState.value.logbook}`}</span>
    </p>
  );
}

function rigWords(): string {
  const now = session.value;
  switch (now.phase) {
    case 'connecting':
      return `Connecting to ${now.rig}`;
    case 'recording':
    case 'stopping':
      return `Recording on ${now.rig}`;
    case 'failed':
      return `${now.rig} failed: ${now.error.found}`;
    case 'done':
    case 'idle':
      return `No rig connected; its port is opened when a recording starts${lastRecorded()}`;
  }
}

function lastRecorded(): string {
  const starts = (logbook.value?.builds ?? []).flatMap((build) =>
    build.recordings.map(({ startedAt }) => startedAt),
  );
  const last = starts.sort().at(-1);
  return last ? `. Last recording ${shortTime(last)}` : '';
}
