import type { ApiRecording } from '../../server/api.js';
import { shortTime } from '../pieces/times.js';
import { takeBack, throwAway } from './keeping.js';

/** A build's recordings; those in the bin and the interrupted ones with the reason why. */
export function RecordingTable({ recordings }: { readonly recordings: readonly ApiRecording[] }) {
  return (
    <section class="recordings" aria-label="Recordings">
      <table>
        <thead>
          <tr>
            <th scope="col">Remount</th>
            <th scope="col">State</th>
            <th scope="col">Procedure</th>
            <th scope="col">When</th>
            <th scope="col">Rig</th>
            <th scope="col">
              <span class="unseen">Bin</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {recordings.map((recording) => (
            <tr key={recording.id}>
              <td>{recording.remount}</td>
              <td>
                {recording.state === 'discarded' ? 'in the bin' : recording.state}
                {recording.stateReason && <small>: {recording.stateReason}</small>}
              </td>
              <td>{recording.procedure.replace('-', ' ')}</td>
              <td>{shortTime(recording.startedAt)}</td>
              <td>
                {recording.rig}
                {recording.simulated && ' (simulated)'}
              </td>
              <td>
                <BinButton recording={recording} />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function BinButton({ recording }: { readonly recording: ApiRecording }) {
  const { id, state, remount } = recording;
  if (state === 'recording') return null;
  const what = { kind: 'recording', item: String(id) } as const;
  const isBinned = state === 'discarded';
  return (
    <button
      type="button"
      class="quiet"
      aria-label={isBinned ? `Take remount ${remount} out of the bin` : `Move remount ${remount} to the bin`}
      onClick={() => void (isBinned ? takeBack(what) : throwAway(what))}
    >
      {isBinned ? 'Take back' : 'To the bin'}
    </button>
  );
}
