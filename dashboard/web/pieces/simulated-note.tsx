import type { ApiRecording } from '../../server/api.js';

/** Invented numbers are called so wherever they are shown. */
export function SimulatedNote({ recordings }: { readonly recordings: readonly ApiRecording[] }) {
  const simulated = recordings.filter((recording) => recording.simulated).length;
  if (simulated === 0) return null;
  const which =
    simulated === recordings.length ? 'These recordings were' : `${simulated} of these recordings were`;
  return <p class="note">{which} made by the simulated rig: no shock was measured.</p>;
}
