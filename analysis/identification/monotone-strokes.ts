/**
 * Makes smoothed position monotone between its true reversals, in place: the least-squares monotone path
 * (pool adjacent violators). What is left of the position noise near standstill would otherwise be counted as
 * travel and wear away the friction that the seal holds; a pooled stretch stands still at its mean.
 * @param position_m, velocity_m_per_s smoothed motion on a grid; velocity becomes 0 where position was pooled
 * @param hysteresis_m a reversal counts when the position comes back by more than this
 * @see Ayer, Brunk, Ewing, Reid & Silverman, Ann. Math. Statist. 26(4), 641–647, 1955
 */
export function straightenStrokes(
  position_m: Float64Array,
  velocity_m_per_s: Float64Array,
  hysteresis_m: number,
): void {
  let from = 0;
  for (const { at, direction } of reversals(position_m, hysteresis_m)) {
    pool(position_m, velocity_m_per_s, from, at, direction);
    from = at;
  }
}

/** Where the position turns by more than the hysteresis, and the direction of travel before; the end closes the last. */
export function reversals(
  position_m: Float64Array,
  hysteresis_m: number,
): { at: number; direction: 1 | -1 }[] {
  const found: { at: number; direction: 1 | -1 }[] = [];
  let high = 0;
  let low = 0;
  let direction: 1 | -1 | 0 = 0;
  for (let k = 1; k < position_m.length; k++) {
    const x = position_m[k];
    if (x > position_m[high]) high = k;
    if (x < position_m[low]) low = k;
    if (direction >= 0 && position_m[high] - x > hysteresis_m) {
      if (direction > 0 || high > 0) found.push({ at: high, direction: 1 });
      direction = -1;
      low = k;
    } else if (direction <= 0 && x - position_m[low] > hysteresis_m) {
      if (direction < 0 || low > 0) found.push({ at: low, direction: -1 });
      direction = 1;
      high = k;
    }
  }
  if (position_m.length > 1) found.push({ at: position_m.length - 1, direction: direction === -1 ? -1 : 1 });
  return found;
}

function pool(x: Float64Array, v: Float64Array, from: number, to: number, direction: 1 | -1): void {
  // A stack of blocks that already rise in the stroke's direction: first index and mean of each.
  const first: number[] = [];
  const mean: number[] = [];
  for (let k = from; k <= to; k++) {
    let start = k;
    let value = x[k];
    while (mean.length > 0 && direction * (value - mean[mean.length - 1]) < 0) {
      const previous = first.pop()!;
      const previousMean = mean.pop()!;
      value = (value * (k + 1 - start) + previousMean * (start - previous)) / (k + 1 - previous);
      start = previous;
    }
    first.push(start);
    mean.push(value);
  }
  for (let b = 0; b < first.length; b++) {
    const end = b + 1 < first.length ? first[b + 1] : to + 1;
    if (end - first[b] === 1) continue;
    for (let k = first[b]; k < end; k++) {
      x[k] = mean[b];
      v[k] = 0;
    }
  }
}
