import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { skipN } from 'pure-rand/utils/skipN';

export interface Random {
  uniform(low: number, high: number): number;
  normal(): number;
}

/** A seeded source; the first draws of small seeds are poor, hence the skip. */
export function randomFrom(seed: number): Random {
  const generator = xoroshiro128plus(seed);
  skipN(generator, 64);
  const draw = () => uniformFloat64(generator);
  let spare: number | null = null;
  return {
    uniform: (low, high) => low + (high - low) * draw(),
    normal() {
      if (spare !== null) {
        const kept = spare;
        spare = null;
        return kept;
      }
      const radius = Math.sqrt(-2 * Math.log(1 - draw()));
      const angle = 2 * Math.PI * draw();
      spare = radius * Math.sin(angle);
      return radius * Math.cos(angle);
    },
  };
}
