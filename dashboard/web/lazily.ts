/** Works a value out when it is first asked for. */
export function lazily<T extends object>(work: () => T): () => T {
  let value: T | null = null;
  return () => {
    value ??= work();
    return value;
  };
}
