/** Seeded randomness of the simulated rig. One named stream per part, so that one part's draws never shift another's. */

export interface RandomStream {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Standard normal. */
  normal(): number;
}

/**
 * Opens a reproducible stream of random numbers.
 * @param seed any number; every distinct 32-bit integer gives other draws
 * @param name which part draws, e.g. `'cell'`; equal seed and name give equal draws
 * @returns uniform and standard normal draws
 * Notes: sfc32, 128 bits of state, first 16 outputs discarded because the state starts from a hash; normals by the
 *   polar form of Box and Muller.
 * Source: C. Doty-Humphrey, PractRand (sfc32) and G. E. P. Box, M. E. Muller, Ann. Math. Statist. 29 (1958) 610, both
 *   from memory; the FNV-1a prime and offset basis likewise.
 */
export function randomStream(seed: number, name: string): RandomStream {
  let a = seed | 0;
  let b = hashOfName(name);
  let c = Math.imul(a ^ b, 0x9e3779b9) | 0;
  let counter = 1;

  function next(): number {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (c << 21) | (c >>> 11);
    c = (c + sum) | 0;
    return sum >>> 0;
  }
  for (let i = 0; i < 16; i++) next();

  const uniform = () => next() / 4294967296;
  let spare = Number.NaN;
  function normal(): number {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const r2 = u * u + v * v;
      if (r2 >= 1 || r2 === 0) continue;
      const scale = Math.sqrt((-2 * Math.log(r2)) / r2);
      spare = v * scale;
      return u * scale;
    }
  }
  return { uniform, normal };
}

function hashOfName(name: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < name.length; i++) hash = Math.imul(hash ^ name.charCodeAt(i), 0x01000193);
  return hash | 0;
}
