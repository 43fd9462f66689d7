import type { ApiBuild, StartRecordingBody } from '../../server/api.js';
import { Swatch } from '../identity/swatch.js';
import { completeRecordings, logbook } from '../logbook.js';
import { chosenIds, identityOfBuild } from '../together/selection.js';

export type ChosenBuild = StartRecordingBody['build'];
type NewBuild = Extract<ChosenBuild, { kind: 'new' }>;

/** The build that was looked at last, or a first one. */
export function firstChoice(): ChosenBuild {
  const last = chosenIds.value.at(-1) ?? logbook.value?.builds.at(-1)?.id;
  return last === undefined ? newBuild(null) : { kind: 'existing', buildId: last };
}

/** A build that differs from another one by something, or the first of another shock. */
export function newBuild(parent: ApiBuild | null): NewBuild {
  const shock = logbook.value?.shocks.find(({ id }) => id === parent?.shockId)?.name ?? '';
  return { kind: 'new', name: '', shock, parentId: parent?.id ?? null, change: '' };
}

/** A build that is there, or a new one made by saying what changed. */
export function BuildChoice(props: {
  readonly chosen: ChosenBuild;
  readonly choose: (build: ChosenBuild) => void;
}) {
  const builds = logbook.value?.builds ?? [];
  const { chosen, choose } = props;
  const put = (value: string) => {
    const parent = builds.find(
      ({ id }) => id === (chosen.kind === 'existing' ? chosen.buildId : chosen.parentId),
    );
    choose(value === 'new' ? newBuild(parent ?? null) : { kind: 'existing', buildId: Number(value) });
  };
  const existing = chosen.kind === 'existing' ? builds.find(({ id }) => id === chosen.buildId) : undefined;
  return (
    <fieldset>
      <legend>Shock and build</legend>
      {builds.length > 0 && (
        <label class="field">
          <span>Build</span>
          <select
            value={chosen.kind === 'existing' ? chosen.buildId : 'new'}
            onChange={(event) => put(event.currentTarget.value)}
          >
            {builds.map((build) => (
              <option key={build.id} value={build.id}>
                {build.name}
              </option>
            ))}
            <option value="new">A new build …</option>
          </select>
        </label>
      )}
      {existing && (
        <p class="note">
          <Swatch identity={identityOfBuild(existing.id)} /> {nextRemount(existing)}
        </p>
      )}
      {chosen.kind === 'new' && <NewBuildFields build={chosen} put={choose} builds={builds} />}
    </fieldset>
  );
}

function NewBuildFields(props: {
  readonly build: NewBuild;
  readonly put: (build: NewBuild) => void;
  readonly builds: readonly ApiBuild[];
}) {
  const { build, put, builds } = props;
  return (
    <div class="fields">
      {builds.length > 0 && (
        <label class="field">
          <span>Made from</span>
          <select
            value={build.parentId ?? ''}
            onChange={(event) => {
              const parent = builds.find(({ id }) => id === Number(event.currentTarget.value)) ?? null;
              put({ ...newBuild(parent), name: build.name, change: build.change });
            }}
          >
            {builds.map(({ id, name }) => (
              <option key={id} value={id}>
                {name}
              </option>
            ))}
            <option value="">Nothing: another shock</option>
          </select>
        </label>
      )}
      {build.parentId === null ? (
        <TextField
          label="Shock"
          hint="front left"
          value={build.shock}
          onInput={(shock) => put({ ...build, shock })}
        />
      ) : (
        <TextField
          label="What changed"
          hint="seal swapped"
          value={build.change}
          onInput={(change) => put({ ...build, change })}
        />
      )}
      <TextField
        label="Name of the build"
        hint={build.parentId === null ? 'as it came' : 'new seal'}
        value={build.name}
        onInput={(name) => put({ ...build, name })}
      />
    </div>
  );
}

function TextField(props: {
  readonly label: string;
  readonly hint: string;
  readonly value: string;
  readonly onInput: (value: string) => void;
}) {
  return (
    <label class="field">
      <span>{props.label}</span>
      <input
        type="text"
        required
        maxLength={80}
        placeholder={`such as: ${props.hint}`}
        value={props.value}
        onInput={(event) => props.onInput(event.currentTarget.value)}
      />
    </label>
  );
}

function nextRemount(build: ApiBuild): string {
  const remount = remountOf(build);
  if (completeRecordings(build).length === 0) return 'Nothing recorded yet: this will be remount 1.';
  return `This will be remount ${remount}. Take the shock off and put it back before it, so that the spread between remounts is seen.`;
}

/** Which mounting of a build the next one will be. */
export function remountOf(build: ApiBuild): number {
  const counted = build.recordings.filter(({ state }) => state !== 'discarded');
  return 1 + Math.max(0, ...counted.map(({ remount }) => remount));
}
