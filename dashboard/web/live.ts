import { signal } from '@preact/signals';
import type { LiveEstimate } from '../answers/index.js';
import type { LiveBatch, LiveEvents, SessionBody, StateBody } from '../server/api.js';
import { fetchBody } from './api.js';
import { createEnvelope } from './bench/envelope.js';
import { createTrail } from './bench/trail.js';
import { refreshLogbook } from './logbook.js';

/** Where the recording on the server stands, as the stream last said. */
export const session = signal<SessionBody>({ phase: 'idle' });
export const serverState = signal<StateBody | null>(null);
/** False while the stream is broken; the browser reconnects by itself. */
export const isConnected = signal(true);
/** Batches of samples that this page was too slow for in the present recording. They are in the logbook all the same. */
export const skippedBatches = signal(0);

/** What the recording under way, or the one that ended last, says so far; oldest first. */
export const estimates = signal<readonly LiveEstimate[]>([]);

const WINDOW_S = 10;
const TRAIL_S = 6;

/** The last seconds of each channel, and force against velocity, for drawing only. */
export const traces = {
  force_N: createEnvelope(WINDOW_S),
  position_mm: createEnvelope(WINDOW_S),
  trail: createTrail(TRAIL_S),
};

/** Opens the one stream of this page. */
export function followServer(): void {
  const stream = new EventSource('/api/live');
  stream.onopen = () => {
    isConnected.value = true;
    void refreshState();
  };
  stream.onerror = () => {
    isConnected.value = false;
  };
  on(stream, 'session', (next) => {
    if (next.phase === 'connecting' && session.value.phase !== 'connecting') startAfresh();
    session.value = next;
  });
  on(stream, 'samples', takeSamples);
  on(stream, 'estimate', (estimate) => {
    const earlier = estimates.value.filter(
      ({ recordingId, until_s }) => recordingId === estimate.recordingId && until_s < estimate.until_s,
    );
    estimates.value = [...earlier, estimate];
  });
  on(stream, 'skipped', ({ batches }) => {
    skippedBatches.value += batches;
  });
  on(stream, 'logbook', () => void refreshLogbook());
}

export async function refreshState(): Promise<void> {
  serverState.value = await fetchBody<StateBody>('/api/state').catch(() => serverState.value);
}

function on<Name extends keyof LiveEvents>(
  stream: EventSource,
  name: Name,
  take: (data: LiveEvents[Name]) => void,
): void {
  stream.addEventListener(name, (event) => take(JSON.parse(event.data as string) as LiveEvents[Name]));
}

function startAfresh(): void {
  for (const trace of Object.values(traces)) trace.clear();
  estimates.value = [];
  skippedBatches.value = 0;
}

function takeSamples(batch: LiveBatch): void {
  const { force, position } = batch;
  traces.trail.append(batch);
  traces.force_N.append(force.time_s, force.force_N);
  traces.position_mm.append(
    position.time_s,
    position.position_m.map((value) => value * 1000),
  );
}
