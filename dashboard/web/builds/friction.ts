import { type Estimate, type KnownSpread, remountMeans, spreadFor } from '../../../analysis/index.js';
import type { ApiBuild } from '../../server/api.js';
import { analyses, remountsOf } from '../logbook.js';

/** Friction of one build; null where it is not known, or not yet. */
export interface BuildFriction {
  readonly drag_N: Estimate | null;
  readonly breakaway_N: Estimate | null;
  readonly isWaiting: boolean;
}

/**
 * Friction of a shock's builds over their complete remounts, with the remount spread that all of them share.
 * @param known spread that their rig has learnt from others
 */
export function frictionOfBuilds(
  builds: readonly ApiBuild[],
  known?: KnownSpread,
): ReadonlyMap<number, BuildFriction> {
  const bodies = builds.map((build) => remountsOf(build).map(({ id }) => analyses.value.get(id)));
  const levelOf = (level: 'mean_N' | 'breakaway_N'): (Estimate | null)[] => {
    const values = bodies.map((side) =>
      side.flatMap((body) => (body?.ok ? (body.analysis.friction[level] ?? []) : [])),
    );
    const means = remountMeans(
      values.filter((side) => side.length > 0),
      spreadFor(known, level === 'mean_N' ? 'friction_N' : 'breakaway_N'),
    );
    return values.map((side) => (side.length > 0 ? means.shift()! : null));
  };
  const drags = levelOf('mean_N');
  const breakaways = levelOf('breakaway_N');
  return new Map(
    builds.map((build, index) => [
      build.id,
      {
        drag_N: drags[index]!,
        breakaway_N: breakaways[index]!,
        isWaiting: bodies[index]!.includes(undefined),
      },
    ]),
  );
}
