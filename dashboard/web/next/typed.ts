import { address, go } from '../address.js';
import { typedNumber } from '../pieces/number-field.js';
import type { TypedName } from './typed-names.js';

/** What stands in a field, as typed; empty where nothing does. */
export const typed = (name: TypedName): string => address.value.typed[name] ?? '';

/** Keeps what was typed in the address; an empty text takes it out. */
export function type(change: Partial<Readonly<Record<TypedName, string>>>): void {
  const all = { ...address.value.typed, ...change };
  go({ typed: Object.fromEntries(Object.entries(all).filter(([, text]) => text !== '')) }, 'replace');
}

/** The query of a question from what was typed, a decimal comma as a point. @param usual where nothing is typed */
export function typedQuery(
  names: readonly TypedName[],
  usual: Partial<Readonly<Record<TypedName, string>>> = {},
): URLSearchParams {
  const query = new URLSearchParams();
  for (const name of names) {
    const text = typed(name) || (usual[name] ?? '');
    if (text !== '') query.set(name, typedNumber(text));
  }
  return query;
}
