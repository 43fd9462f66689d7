import type { ApiError } from '../../server/api.js';

/** An error below its field, which is described by it. */
export function FieldTrouble(props: { readonly id: string; readonly trouble: ApiError }) {
  const { found, wanted } = props.trouble;
  return (
    <p id={props.id} class="field-trouble" role="alert">
      Found {found}. Wanted {wanted}.
    </p>
  );
}

/** An error beside the thing it is about: what was found, what was wanted, and a way on where there is one. */
export function Trouble(props: { readonly error: ApiError; readonly again?: () => void }) {
  const { where, found, wanted } = props.error;
  return (
    <div class="trouble" role="alert">
      <p>
        <strong>{where}</strong>: found {found}. Wanted {wanted}.
      </p>
      {props.again && (
        <button type="button" onClick={props.again}>
          Try again
        </button>
      )}
    </div>
  );
}
