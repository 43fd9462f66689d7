import { session } from '../live.js';
import { buildOf } from '../logbook.js';
import { Outcome } from './outcome.js';
import { RecordingNow } from './recording-now.js';
import { Setup } from './setup.js';
import { build, isGoingOn } from './sitting.js';

/** Measuring: say what is wanted, record, see what was found, go on. */
export function Bench() {
  const now = session.value;
  if (now.phase === 'recording' || now.phase === 'stopping') return <RecordingNow session={now} />;
  if (now.phase === 'done') return <Outcome session={now} />;
  return (
    <div class="bench">
      <h1>{heading()}</h1>
      <Setup />
    </div>
  );
}

function heading(): string {
  const onRig = build.value;
  if (!isGoingOn.value || !onRig) return 'What do you want to know?';
  if (onRig.kind === 'new') return `Now make the change to “${nameOf(onRig.parentId)}”`;
  return `Once more: “${nameOf(onRig.buildId)}”`;
}

const nameOf = (id: number | null): string =>
  (id === null ? undefined : buildOf(id))?.name ?? 'the same build';
