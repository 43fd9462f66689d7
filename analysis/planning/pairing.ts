import { commonSpeeds } from '../curves/common-speeds.js';
import { directionOf, type ForceCurve } from '../curves/force-curve.js';
import { curveReader } from '../curves/read-curve.js';
import { estimateOf } from '../estimate.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { simultaneousReach } from '../target/conformance.js';

/** A shock as one of a set. */
export interface ShockOfSet {
  readonly label: string;
  /** All of one kind and brought to one temperature; total force is what a truck feels. */
  readonly curve: ForceCurve;
}

/** How well two shocks match. */
export interface Match {
  readonly labels: readonly [string, string];
  /** Root mean square difference over the common speeds, of the mean force, in per cent. */
  readonly mismatch_percent: number;
  /** Where they differ most: second less first, of the magnitudes. */
  readonly worst: {
    readonly velocity_m_per_s: number;
    readonly difference_N: Estimate;
    readonly difference_percent: number;
  };
  /** True where a band that holds at all speeds at once tells them apart somewhere. */
  readonly toldApart: boolean;
}

export interface Pairing {
  /** The pairs to mount left and right, best matched first. */
  readonly pairs: readonly Match[];
  /** Every two of the set. */
  readonly matches: readonly Match[];
}

export type PairingRefusal = Refusal<'odd-set' | 'set-too-large' | 'no-common-speeds' | 'different-kinds'>;
export type PairingOutcome =
  | { readonly ok: true; readonly pairing: Pairing }
  | { readonly ok: false; readonly refusal: PairingRefusal };

const mostShocks = 8;

/**
 * Which shocks of a set belong together.
 * @param shocks 2, 4, 6 or 8
 * @returns the pairing with the least sum of squared mismatches over all its pairs
 */
export function pairShocks(shocks: readonly ShockOfSet[]): PairingOutcome {
  const refuse = (code: PairingRefusal['code'], found: string, wanted: string): PairingOutcome => ({
    ok: false,
    refusal: { code, found, wanted },
  });
  if (shocks.length < 2 || shocks.length % 2 === 1)
    return refuse('odd-set', `${shocks.length} shocks`, 'an even number from 2');
  if (shocks.length > mostShocks)
    return refuse('set-too-large', `${shocks.length} shocks`, `at most ${mostShocks}`);
  if (shocks.some(({ curve }) => curve.kind !== shocks[0].curve.kind))
    return refuse('different-kinds', 'damping of some and total force of others', 'one kind of force');
  const between = new Map<string, Match>();
  const key = (i: number, j: number) => `${Math.min(i, j)},${Math.max(i, j)}`;
  for (let i = 0; i < shocks.length; i++)
    for (let j = i + 1; j < shocks.length; j++) {
      const match = matchOf(shocks[i], shocks[j]);
      if (!match)
        return refuse(
          'no-common-speeds',
          `${shocks[i].label} and ${shocks[j].label} without a common speed`,
          'shocks measured at the same speeds',
        );
      between.set(key(i, j), match);
    }
  const cost = (pairing: readonly (readonly [number, number])[]) =>
    pairing.reduce((sum, [i, j]) => sum + between.get(key(i, j))!.mismatch_percent ** 2, 0);
  const best = pairings(shocks.map((_, i) => i)).reduce((a, b) => (cost(b) < cost(a) ? b : a));
  const byMatch = (a: Match, b: Match) => a.mismatch_percent - b.mismatch_percent;
  return {
    ok: true,
    pairing: {
      pairs: best.map(([i, j]) => between.get(key(i, j))!).sort(byMatch),
      matches: [...between.values()].sort(byMatch),
    },
  };
}

/** How well two shocks match; null where they share no speed. */
export function matchOf(first: ShockOfSet, second: ShockOfSet): Match | null {
  const velocities = commonSpeeds(first.curve, second.curve);
  if (velocities.length === 0) return null;
  const [one, other] = [first, second].map(({ curve }) => curveReader(curve));
  const degreesOfFreedom = Math.min(first.curve.degreesOfFreedom, second.curve.degreesOfFreedom);
  const terms = first.curve.kind === 'damping' ? 2 : 3;
  const everywhere = simultaneousReach(terms, new Set(velocities.map(directionOf)).size, degreesOfFreedom);
  const differences = velocities.map((velocity_m_per_s) => {
    const [a, b] = [one(velocity_m_per_s)!, other(velocity_m_per_s)!];
    const difference = Math.abs(b.force_N) - Math.abs(a.force_N);
    const mean = (Math.abs(a.force_N) + Math.abs(b.force_N)) / 2;
    return {
      velocity_m_per_s,
      difference_N: estimateOf(
        difference,
        Math.hypot(a.standardError_N, b.standardError_N),
        degreesOfFreedom,
      ),
      difference_percent: (100 * difference) / mean,
    };
  });
  const size = ({ difference_percent }: { difference_percent: number }) => Math.abs(difference_percent);
  return {
    labels: [first.label, second.label],
    mismatch_percent: Math.sqrt(differences.reduce((sum, at) => sum + size(at) ** 2, 0) / differences.length),
    worst: differences.reduce((worst, at) => (size(at) > size(worst) ? at : worst)),
    toldApart: differences.some(
      ({ difference_N: { value, standardError } }) => Math.abs(value) > everywhere * standardError,
    ),
  };
}

/** Every way to pair up an even number of things. */
function pairings(things: readonly number[]): (readonly [number, number])[][] {
  const [first, ...others] = things;
  if (first === undefined) return [[]];
  return others.flatMap((partner) =>
    pairings(others.filter((other) => other !== partner)).map((rest) => [[first, partner] as const, ...rest]),
  );
}
