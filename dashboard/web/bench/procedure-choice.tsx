import type { ApiProcedure, ProcedureChoiceId } from '../../server/api.js';
import { ChoiceField } from '../pieces/choice-field.js';

/** How the shock is moved; where the rig allows one way only, it is said and not asked. */
export function ProcedureChoice(props: {
  readonly choices: readonly ApiProcedure[];
  readonly chosen: ApiProcedure;
  readonly choose: (id: ProcedureChoiceId) => void;
}) {
  const { choices, chosen, choose } = props;
  return (
    <ChoiceField
      label="How it is moved"
      value={chosen.id}
      choices={choices.map(({ id, title }) => [id, title])}
      onChange={choose}
    />
  );
}
