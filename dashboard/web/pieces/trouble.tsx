import type { ApiError } from '../../server/api.js';

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
