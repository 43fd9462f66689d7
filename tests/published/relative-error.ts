/** |found / wanted - 1|, or |found| where zero is wanted. */
export function relativeError(found: number, wanted: number): number {
  return wanted === 0 ? Math.abs(found) : Math.abs(found / wanted - 1);
}

/** Largest relative error of an array against the values wanted. */
export function worstRelativeError(found: ArrayLike<number>, wanted: ArrayLike<number>): number {
  let worst = found.length === wanted.length ? 0 : Number.POSITIVE_INFINITY;
  for (let i = 0; i < wanted.length; i++) {
    const error = relativeError(found[i], wanted[i]);
    if (!(error <= worst)) worst = error;
  }
  return worst;
}
