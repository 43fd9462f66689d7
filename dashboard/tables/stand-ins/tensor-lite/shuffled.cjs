'use strict';

/**
 * A copy of `items` in an order drawn from `seed` alone (Fisher-Yates; D. E. Knuth, The Art of Computer
 * Programming 2, section 3.4.2, algorithm P). The draws come from a 32-bit linear congruential generator, which
 * is enough to pick example rows and not meant for statistics.
 */
function shuffled(items, seed) {
  let state = 2166136261;
  for (const character of String(seed)) state = Math.imul(state ^ character.codePointAt(0), 16777619) >>> 0;
  const below = (limit) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * limit);
  };
  const result = [...items];
  for (let last = result.length - 1; last > 0; last--) {
    const chosen = below(last + 1);
    [result[last], result[chosen]] = [result[chosen], result[last]];
  }
  return result;
}

module.exports = { shuffled };
