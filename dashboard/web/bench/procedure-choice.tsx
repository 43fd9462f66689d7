import type { ApiProcedure, ProcedureChoiceId } from '../../server/api.js';

/** How the shock is moved; where the rig allows one way only, it is said and not asked. */
export function ProcedureChoice(props: {
  readonly choices: readonly ApiProcedure[];
  readonly chosen: ApiProcedure;
  readonly choose: (id: ProcedureChoiceId) => void;
}) {
  const { choices, chosen, choose } = props;
  return (
    <label class="field">
      <span>How it is moved</span>
      <select value={chosen.id} onChange={(event) => choose(event.currentTarget.value as ProcedureChoiceId)}>
        {choices.map(({ id, title }) => (
          <option key={id} value={id}>
            {title}
          </option>
        ))}
      </select>
    </label>
  );
}
