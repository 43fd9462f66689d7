import { type Estimate, remountMeans } from '../../../analysis/index.js';
import type { ApiBuild, ApiRecording } from '../../server/api.js';
import { count, plusMinus } from '../../wording/index.js';
import { Swatch } from '../identity/swatch.js';
import { analyses, buildOf, completeRecordings } from '../logbook.js';
import { PlaceLink } from '../pieces/place-link.js';
import { shortTime } from '../pieces/times.js';
import { identityOfBuild } from '../together/selection.js';

/** One build: what changed, its friction at a glance, its recordings. */
export function BuildEntry({ build, depth }: { readonly build: ApiBuild; readonly depth: number }) {
  const parent = build.parentId === null ? undefined : buildOf(build.parentId);
  const complete = completeRecordings(build);
  const canCompare = parent && complete.length > 0 && completeRecordings(parent).length > 0;
  return (
    <li class="build" style={{ '--depth': depth }}>
      <div class="what">
        <h3>
          <Swatch identity={identityOfBuild(build.id)} /> {build.name}
        </h3>
        <p class="change">{parent ? build.change || 'change not noted' : 'first build of this shock'}</p>
      </div>
      <Friction recordings={complete} />
      <div class="ways">
        {canCompare && (
          <PlaceLink to={{ place: 'together', builds: [parent.id, build.id], without: [] }}>
            See it over {parent.name}
          </PlaceLink>
        )}
        {!canCompare && complete.length > 0 && (
          <PlaceLink to={{ place: 'together', builds: [build.id], without: [] }}>See it alone</PlaceLink>
        )}
        {build.recordings.length > 0 ? (
          <details>
            <summary>{count(build.recordings.length, 'recording')}</summary>
            <Recordings recordings={build.recordings} />
          </details>
        ) : (
          <span class="note">nothing recorded</span>
        )}
      </div>
    </li>
  );
}

function Friction({ recordings }: { readonly recordings: readonly ApiRecording[] }) {
  const bodies = recordings.flatMap(({ id }) => analyses.value.get(id) ?? []);
  const isWaiting = bodies.length < recordings.length;
  const meanOf = (level: 'mean_N' | 'breakaway_N'): Estimate | null => {
    const known = bodies.flatMap((body) => (body.ok ? (body.analysis.friction[level] ?? []) : []));
    return known.length > 0 ? remountMeans([known])[0]! : null;
  };
  if (recordings.length === 0) return <dl class="friction" />;
  const text = (estimate: Estimate | null) => (isWaiting ? '…' : plusMinus(estimate, 'N'));
  return (
    <dl class="friction">
      <div>
        <dt>Drag</dt>
        <dd class="number">{text(meanOf('mean_N'))}</dd>
      </div>
      <div>
        <dt>Breakaway</dt>
        <dd class="number">{text(meanOf('breakaway_N'))}</dd>
      </div>
    </dl>
  );
}

function Recordings({ recordings }: { readonly recordings: readonly ApiRecording[] }) {
  return (
    <table class="recordings">
      <thead>
        <tr>
          <th scope="col" class="number">
            Remount
          </th>
          <th scope="col">State</th>
          <th scope="col">Procedure</th>
          <th scope="col">When</th>
          <th scope="col">Rig</th>
        </tr>
      </thead>
      <tbody>
        {recordings.map((recording) => (
          <tr key={recording.id}>
            <td class="number">{recording.remount}</td>
            <td>
              {recording.state}
              {recording.stateReason && <small> {recording.stateReason}</small>}
            </td>
            <td>{recording.procedure.replace('-', ' ')}</td>
            <td>{shortTime(recording.startedAt)}</td>
            <td>{recording.simulated ? 'simulated' : recording.rig}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
