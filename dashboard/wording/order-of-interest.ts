import type { ComparedDifference } from '../answers/index.js';

/** What people ask first; what differs among these is said before what does not. */
const asked = ['friction_N', 'breakaway_N', 'damping.compression@0.10', 'damping.rebound@0.10'];

/** What is said of a comparison: first what is resolved and asked first, then drag where that was another one. */
export function inOrderOfInterest(differences: readonly ComparedDifference[]): ComparedDifference[] {
  const place = (quantity: string) => {
    const found = asked.indexOf(quantity);
    return found < 0 ? asked.length : found;
  };
  const ordered = differences.toSorted((a, b) => place(a.quantity) - place(b.quantity));
  const lead = ordered.find(({ verdict }) => verdict !== 'not-resolved') ?? ordered[0];
  const drag = ordered.find(({ quantity }) => quantity === 'friction_N');
  return [...new Set([lead, drag])].filter((difference) => difference !== undefined);
}
