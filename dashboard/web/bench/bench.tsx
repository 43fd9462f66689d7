import { session } from '../live.js';
import { Trouble } from '../pieces/trouble.js';
import { Outcome } from './outcome.js';
import { RecordingNow } from './recording-now.js';
import { Setup } from './setup.js';

/** Measuring: set up, record, see what was found, go on. */
export function Bench() {
  const now = session.value;
  if (now.phase === 'recording' || now.phase === 'stopping') return <RecordingNow session={now} />;
  if (now.phase === 'done') return <Outcome session={now} />;
  return (
    <div class="bench">
      <h1>What is on the rig now?</h1>
      {now.phase === 'failed' && <Trouble error={now.error} />}
      <Setup />
    </div>
  );
}
