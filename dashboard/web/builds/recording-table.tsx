import type { ApiRecording } from '../../server/api.js';
import { shortTime } from '../pieces/times.js';

/** A build's recordings, the discarded and interrupted ones with the reason why. */
export function RecordingTable({ recordings }: { readonly recordings: readonly ApiRecording[] }) {
  return (
    <table class="recordings">
      <thead>
        <tr>
          <th scope="col">Remount</th>
          <th scope="col">State</th>
          <th scope="col">Procedure</th>
          <th scope="col">When</th>
          <th scope="col">Rig</th>
        </tr>
      </thead>
      <tbody>
        {recordings.map((recording) => (
          <tr key={recording.id}>
            <td>{recording.remount}</td>
            <td>
              {recording.state}
              {recording.stateReason && <small>: {recording.stateReason}</small>}
            </td>
            <td>{recording.procedure.replace('-', ' ')}</td>
            <td>{shortTime(recording.startedAt)}</td>
            <td>
              {recording.rig}
              {recording.simulated && ' (simulated)'}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
