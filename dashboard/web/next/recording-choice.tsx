import { useId } from 'preact/hooks';
import type { ApiError, ApiRecording } from '../../server/api.js';
import { completeRecordings, logbook } from '../logbook.js';
import { FieldTrouble } from '../pieces/trouble.js';
import { type, typed } from './typed.js';
import type { TypedName } from './typed-names.js';
import { troubleAt } from './use-answer.js';

type Procedure = 'spring-pull' | 'travel-sweep';

interface NamedRecording {
  readonly recording: ApiRecording;
  readonly build: string;
}

/** Recordings of a procedure, newest first. */
export function recordingsOf(procedure: Procedure): NamedRecording[] {
  return all().filter(({ recording }) => recording.procedure === procedure);
}

const all = (): NamedRecording[] =>
  (logbook.value?.builds ?? [])
    .flatMap((build) => completeRecordings(build).map((recording) => ({ recording, build: build.name })))
    .sort((a, b) => b.recording.id - a.recording.id);

/** The recording of a field: what was chosen, else the newest of its procedure; null where there is none. */
export const chosenRecording = (name: TypedName, procedure: Procedure): string | null =>
  typed(name) || String(recordingsOf(procedure)[0]?.recording.id ?? '') || null;

/** One recording out of the logbook; those of the procedure first, since an imported file may not say its own. */
export function RecordingChoice(props: {
  readonly name: TypedName;
  readonly label: string;
  readonly procedure: Procedure;
  readonly value: string;
  /** What choosing none means; without it one must be chosen. */
  readonly none?: string;
  readonly trouble: ApiError | null;
}) {
  const id = useId();
  const { name, label, procedure, value, none } = props;
  const trouble = troubleAt(props.trouble, name);
  const fitting = recordingsOf(procedure);
  const others = all().filter(({ recording }) => recording.procedure === 'unknown');
  return (
    <div class="field">
      <label for={id}>
        <span>{label}</span>
      </label>
      <select
        id={id}
        value={value}
        aria-invalid={trouble !== null}
        aria-describedby={trouble ? `${id}-about` : undefined}
        onChange={(event) => type({ [name]: event.currentTarget.value })}
      >
        {none !== undefined && <option value="">{none}</option>}
        {fitting.map(entry)}
        {others.length > 0 && <optgroup label="Recorded without saying how">{others.map(entry)}</optgroup>}
      </select>
      {trouble && <FieldTrouble id={`${id}-about`} trouble={trouble} />}
    </div>
  );
}

const entry = ({ recording: { id, startedAt, simulated }, build }: NamedRecording) => (
  <option key={id} value={id}>
    {build}, {startedAt.slice(0, 10)}, recording {id}
    {simulated ? ', simulated' : ''}
  </option>
);
