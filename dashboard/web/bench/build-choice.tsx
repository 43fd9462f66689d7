import type { ApiBuild, StartRecordingBody } from '../../server/api.js';
import { Swatch } from '../identity/swatch.js';
import { completeRecordings, logbook } from '../logbook.js';
import { ChoiceField } from '../pieces/choice-field.js';
import { TextField } from '../pieces/text-field.js';
import { chosenIds, identityOfBuild } from '../together/selection.js';

export type ChosenBuild = StartRecordingBody['build'];
type NewBuild = Extract<ChosenBuild, { kind: 'new' }>;

/** No build of the logbook; these are numbered from 1. */
const NONE = 0;

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
  const before = chosen.kind === 'existing' ? chosen.buildId : chosen.parentId;
  const known = builds.find(({ id }) => id === before) ?? null;
  const existing = chosen.kind === 'existing' ? known : null;
  const put = (id: number) => choose(id === NONE ? newBuild(known) : { kind: 'existing', buildId: id });
  return (
    <fieldset>
      <legend>Shock and build</legend>
      {builds.length > 0 && (
        <ChoiceField
          label="Build"
          value={chosen.kind === 'existing' ? chosen.buildId : NONE}
          choices={[...builds.map(({ id, name }) => [id, name] as const), [NONE, 'A new build …']]}
          onChange={put}
        />
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
        <ChoiceField
          label="Made from"
          value={build.parentId ?? NONE}
          choices={[...builds.map(({ id, name }) => [id, name] as const), [NONE, 'Nothing: another shock']]}
          onChange={(chosen) => {
            const parent = builds.find(({ id }) => id === chosen) ?? null;
            put({ ...newBuild(parent), name: build.name, change: build.change });
          }}
        />
      )}
      {build.parentId === null ? (
        <TextField
          isRequired
          label="Shock"
          hint="front left"
          value={build.shock}
          onInput={(shock) => put({ ...build, shock })}
        />
      ) : (
        <TextField
          isRequired
          label="What changed"
          hint="seal swapped"
          value={build.change}
          onInput={(change) => put({ ...build, change })}
        />
      )}
      <TextField
        isRequired
        label="Name of the build"
        hint={build.parentId === null ? 'as it came' : 'new seal'}
        value={build.name}
        onInput={(name) => put({ ...build, name })}
      />
    </div>
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
