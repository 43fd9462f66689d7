import { computed } from '@preact/signals';
import {
  type Comparison,
  compareBuilds,
  type Estimate,
  remountMeanCurves,
  remountMeans,
} from '../../../analysis/index.js';
import type { PicturedBuild } from '../charts/pictured-build.js';
import { type ChosenBuild, chosen } from './selection.js';

/** The chosen builds as pictures and tables take them; those without an analysed recording are not there yet. */
export const pictured = computed<readonly PicturedBuild[]>(() => {
  const shown = chosen.value.filter(({ remounts }) => remounts.length > 0);
  const curves = remountMeanCurves(shown.map(({ remounts }) => remounts.map(({ picture }) => picture.total)));
  const drags = frictionOf(shown, 'mean_N');
  const breakaways = frictionOf(shown, 'breakaway_N');
  return shown.map(
    ({ build, identity, remounts }, index): PicturedBuild => ({
      id: build.id,
      name: build.name,
      identity,
      total: curves[index]!,
      drag_N: drags[index]!,
      breakaway_N: breakaways[index]!,
      remounts: remounts.map(({ recording, analysis: { friction }, picture: { points } }) => ({
        recordingId: recording.id,
        remount: recording.remount,
        drag_N: friction.mean_N?.value ?? null,
        breakaway_N: friction.breakaway_N?.value ?? null,
        points,
      })),
    }),
  );
});

/** One friction level of each build, null where none of its remounts supports it. */
function frictionOf(
  builds: readonly Pick<ChosenBuild, 'remounts'>[],
  level: 'mean_N' | 'breakaway_N',
): (Estimate | null)[] {
  const values = builds.map(({ remounts }) =>
    remounts.flatMap(({ analysis }) => analysis.friction[level] ?? []),
  );
  const means = remountMeans(values.filter((side) => side.length > 0));
  return values.map((side) => (side.length > 0 ? means.shift()! : null));
}

/** The reference against one other chosen build. */
export interface ShownComparison {
  readonly before: ChosenBuild;
  readonly after: ChosenBuild;
  readonly comparison: Comparison;
}

/** A comparison for every other chosen build, made when all its recordings are analysed. */
export const comparisons = computed<readonly ShownComparison[]>(() => {
  const [before, ...others] = chosen.value;
  if (!before || !isReady(before)) return [];
  return others.filter(isReady).map((after) => ({
    before,
    after,
    comparison: compareBuilds(
      before.remounts.map(({ analysis }) => analysis),
      after.remounts.map(({ analysis }) => analysis),
    ),
  }));
});

function isReady({ included, remounts }: ChosenBuild): boolean {
  return remounts.length > 0 && remounts.length === included.length;
}
