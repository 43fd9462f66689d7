import { useId } from 'preact/hooks';
import type { ApiError } from '../../server/api.js';
import { go } from '../address.js';
import { Swatch } from '../identity/swatch.js';
import { NumberField } from '../pieces/number-field.js';
import { FieldTrouble } from '../pieces/trouble.js';
import { identityOfBuild, recordedBuilds } from '../together/selection.js';
import type { Pair } from './pair.js';
import { troubleAt } from './use-answer.js';

/** Which build, which target, and how near is near enough. */
export function PairChoice(props: {
  readonly pair: Pair;
  readonly percent: string;
  readonly putPercent: (text: string) => void;
  readonly trouble: ApiError | null;
}) {
  const { pair, percent, putPercent, trouble } = props;
  const put = (side: keyof Pair, id: number) => {
    const other = side === 'have' ? 'target' : 'have';
    // Choosing the other side's build swaps the two: one build is no target for itself.
    go({ ...pair, [side]: id, ...(id === pair[other] && { [other]: pair[side] }) }, 'replace');
  };
  return (
    <>
      <BuildField
        label="The build as it is"
        id={pair.have}
        onChange={(id) => put('have', id)}
        trouble={troubleAt(trouble, 'have')}
      />
      <BuildField
        label="Its target"
        id={pair.target}
        onChange={(id) => put('target', id)}
        trouble={troubleAt(trouble, 'target')}
      />
      <NumberField
        label="Near enough"
        unit="% of the target"
        value={percent}
        trouble={troubleAt(trouble, 'percent')}
        onChange={putPercent}
      />
    </>
  );
}

/** One of the builds that have recordings. */
export function BuildField(props: {
  readonly label: string;
  readonly id: number;
  readonly onChange: (id: number) => void;
  readonly trouble: ApiError | null;
}) {
  const field = useId();
  const { label, id, onChange, trouble } = props;
  return (
    <div class="field build-field">
      <label for={field}>
        <span>{label}</span>
      </label>
      <div class="with-swatch">
        <Swatch identity={identityOfBuild(id)} />
        <select
          id={field}
          value={id}
          aria-invalid={trouble !== null}
          aria-describedby={trouble ? `${field}-about` : undefined}
          onChange={(event) => onChange(Number(event.currentTarget.value))}
        >
          {recordedBuilds.value.map((build) => (
            <option key={build.id} value={build.id}>
              {build.name}
            </option>
          ))}
        </select>
      </div>
      {trouble && <FieldTrouble id={`${field}-about`} trouble={trouble} />}
    </div>
  );
}
