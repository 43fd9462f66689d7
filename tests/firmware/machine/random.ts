import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { skipN } from 'pure-rand/utils/skipN';

/** A seeded source of noise with standard deviation 1: the sum of twelve uniform numbers, less six. */
export function noiseFrom(seed: number): () => number {
  const generator = xoroshiro128plus(seed);
  // The first draws of small seeds are poor.
  skipN(generator, 64);
  return () => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += uniformFloat64(generator);
    return sum;
  };
}
