import { estimateOf } from '../estimate.js';
import { findTurns } from '../kinematics/reversals.js';
import type { Refusal } from '../refusal.js';
import type { Estimate } from '../result.js';
import { pullBranches } from '../spring/branches.js';
import { findTouch, type SweptForce, type Touch } from './contact.js';

/** Something that stops the shaft. */
export interface EndContact {
  /** In the recording's own coordinate. */
  readonly position_m: Estimate;
  readonly kind: 'hard' | 'soft';
  readonly stiffness_N_per_m: number;
}

export interface ShockTravel {
  /** From the full extension, or the smallest position seen, to the contact, or the largest position seen. */
  readonly travel_m: Estimate;
  /** True where an end was not felt, so that the shock may have more travel than the sweep used. */
  readonly atLeast: boolean;
  /** Where the stop touches in compression. */
  readonly contact: EndContact | null;
  /** Where the piston, or a spacer under it, meets the seal's seat. */
  readonly fullExtension: EndContact | null;
  readonly from_m: number;
  readonly to_m: number;
}

export type SweepRefusal = Refusal<
  'too-few-samples' | 'no-travel' | 'unequal-channels' | 'not-finite' | 'one-way'
>;
export type SweepOutcome =
  | { readonly ok: true; readonly travel: ShockTravel }
  | { readonly ok: false; readonly refusal: SweepRefusal };

/** Stiffer than rubber and foam stops of this size, softer than metal or plastic on a rig; judgement, no source. */
const hard_N_per_m = 25e3;
/** Friction has turned round after this much travel. */
const afterReversal_m = 0.4e-3;
const leastSamples = 80;
const leastTravel_m = 2e-3;
const mostSamples = 4000;

/**
 * Usable travel of a shock and what ends it, from slow strokes into both ends.
 * @param position_m, force_N n samples each, in order; compression and pushing back positive
 * @returns travel and contacts with intervals, or why the sweep does not show them
 * Numerical notes: see `findTouch`; stretches just after a reversal are left out, since friction turning round looks
 *   like a stop. A hard contact's stiffness is mostly the rig's own.
 */
export function travelSweep(position_m: Float64Array, force_N: Float64Array): SweepOutcome {
  const refusal = refuseSweep(position_m, force_N);
  if (refusal) return { ok: false, refusal };
  const swept = sweptForce(position_m, force_N);
  if (swept.position_m.length < leastSamples)
    return refuse('one-way', 'no long stroke there and back', 'slow strokes from end to end, both ways');
  const first = findTouch(swept, 'compression', null);
  const extension = findTouch(swept, 'extension', first);
  const compression = extension ? findTouch(swept, 'compression', extension) : first;
  const { noise_m } = findTurns(
    position_m.map((_, i) => i),
    position_m,
  );
  const { low_m, high_m } = swept;
  const end_m = compression?.position_m ?? high_m;
  const start_m = extension?.position_m ?? low_m;
  const error = Math.hypot(compression?.standardError_m ?? noise_m, extension?.standardError_m ?? noise_m);
  return {
    ok: true,
    travel: {
      travel_m: estimateOf(end_m - start_m, error),
      atLeast: !compression || !extension,
      contact: compression && contactOf(compression),
      fullExtension: extension && contactOf(extension),
      from_m: low_m,
      to_m: high_m,
    },
  };
}

const contactOf = ({
  position_m,
  standardError_m,
  degreesOfFreedom,
  stiffness_N_per_m,
}: Touch): EndContact => ({
  position_m: estimateOf(position_m, standardError_m, degreesOfFreedom),
  kind: stiffness_N_per_m >= hard_N_per_m ? 'hard' : 'soft',
  stiffness_N_per_m,
});

/** Samples of long strokes, the middle of the travel thinned, its ends kept. */
function sweptForce(position_m: Float64Array, force_N: Float64Array): SweptForce {
  const low_m = position_m.reduce((a, b) => Math.min(a, b));
  const high_m = position_m.reduce((a, b) => Math.max(a, b));
  const left_m = Math.min(afterReversal_m, 0.1 * (high_m - low_m));
  const kept: number[] = [];
  const ways: number[] = [];
  for (const { from, to, direction } of pullBranches(position_m))
    for (let i = from; i < to; i++)
      if (Math.abs(position_m[i] - position_m[from]) >= left_m) {
        kept.push(i);
        ways.push(direction);
      }
  const stride = Math.max(1, Math.ceil(kept.length / mostSamples));
  const nearEnd = (x: number) => Math.min(x - low_m, high_m - x) < 0.06 * (high_m - low_m);
  const chosen = kept.map((_, k) => k).filter((k) => k % stride === 0 || nearEnd(position_m[kept[k]]));
  return {
    position_m: Float64Array.from(chosen, (k) => position_m[kept[k]]),
    force_N: Float64Array.from(chosen, (k) => force_N[kept[k]]),
    direction: Int8Array.from(chosen, (k) => ways[k]),
    low_m,
    high_m,
  };
}

function refuseSweep(position_m: Float64Array, force_N: Float64Array): SweepRefusal | null {
  const n = position_m.length;
  const make = (code: SweepRefusal['code'], found: string, wanted: string): SweepRefusal => ({
    code,
    found,
    wanted,
  });
  if (force_N.length !== n)
    return make('unequal-channels', `${n} positions and ${force_N.length} forces`, 'as many of each');
  if (n < leastSamples) return make('too-few-samples', `${n} samples`, `at least ${leastSamples}`);
  if (![...position_m, ...force_N].every(Number.isFinite))
    return make('not-finite', 'a sample that is not a number', 'finite numbers');
  const travel_m = position_m.reduce((a, b) => Math.max(a, b)) - position_m.reduce((a, b) => Math.min(a, b));
  if (travel_m < leastTravel_m)
    return make(
      'no-travel',
      `${(1e3 * travel_m).toFixed(3)} mm of travel`,
      `at least ${1e3 * leastTravel_m} mm`,
    );
  return null;
}

const refuse = (code: SweepRefusal['code'], found: string, wanted: string): SweepOutcome => ({
  ok: false,
  refusal: { code, found, wanted },
});
