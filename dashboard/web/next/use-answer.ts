import { useEffect, useState } from 'preact/hooks';
import type { ApiError } from '../../server/api.js';
import { fetchBody, troubleOf } from '../api.js';

/** What the server said to a question, and whether it is being asked anew. */
export interface Answered<Body> {
  readonly body: Body | null;
  readonly trouble: ApiError | null;
  readonly isAsking: boolean;
}

/**
 * Asks the server whenever the question changes; one that is no longer wanted is called off. The last answer stays
 * until there is another, so that the picture does not go; a refusal takes it away, since it would be none to that
 * question.
 * @param path of the question, or null while it is not complete
 */
export function useAnswer<Body>(path: string | null): Answered<Body> {
  const [answered, setAnswered] = useState<Answered<Body>>({ body: null, trouble: null, isAsking: false });
  useEffect(() => {
    if (path === null) {
      setAnswered({ body: null, trouble: null, isAsking: false });
      return;
    }
    const calledOff = new AbortController();
    setAnswered(({ body }) => ({ body, trouble: null, isAsking: true }));
    fetchBody<Body>(path, calledOff.signal).then(
      (body) => setAnswered({ body, trouble: null, isAsking: false }),
      (thrown) => {
        const trouble = troubleOf(thrown);
        if (trouble) setAnswered({ body: null, trouble, isAsking: false });
      },
    );
    return () => calledOff.abort();
  }, [path]);
  return answered;
}

/** The trouble that belongs beside a field of the query, or null. */
export const troubleAt = (trouble: ApiError | null, field: string): ApiError | null =>
  trouble?.where === `query.${field}` ? trouble : null;

/** The trouble that belongs beside none of these fields, or null. */
export const troubleElsewhere = (trouble: ApiError | null, fields: readonly string[]): ApiError | null =>
  trouble && !fields.some((field) => troubleAt(trouble, field)) ? trouble : null;
