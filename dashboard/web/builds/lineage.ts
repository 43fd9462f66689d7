import type { ApiBuild } from '../../server/api.js';

/** A build and how deep below its first ancestor it lies. */
export interface LineageEntry {
  readonly build: ApiBuild;
  readonly depth: number;
}

/** Builds of one shock in the order of a family tree: each after its parent, siblings oldest first. */
export function lineageOf(builds: readonly ApiBuild[]): LineageEntry[] {
  const known = new Set(builds.map(({ id }) => id));
  const below = (parentId: number | null, depth: number): LineageEntry[] =>
    builds
      .filter(
        (build) =>
          (build.parentId !== null && known.has(build.parentId) ? build.parentId : null) === parentId,
      )
      .flatMap((build) => [{ build, depth }, ...below(build.id, depth + 1)]);
  return below(null, 0);
}
