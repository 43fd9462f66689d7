import { computed } from '@preact/signals';
import { type Estimate, remountMeans, spreadFor } from '../../../analysis/index.js';
import {
  type BuildComparison,
  type CompareAnswer,
  compareAnswer,
  dragAlong,
  overlayOf,
  overlayPoints,
} from '../../answers/index.js';
import type { PicturedBuild } from '../charts/pictured-build.js';
import { lazily } from '../lazily.js';
import { type AnalysedRemount, type ChosenBuild, chosen, view } from './selection.js';
import { known } from './spreads.js';
import { haveSamePoints, isInView, type View } from './view.js';

/** Chosen builds that have something to show by now. */
const shown = computed(() => chosen.value.filter(({ remounts }) => remounts.length > 0));

/** Their recordings as answers take them, the same objects as long as the selection is the same. */
const overlaid = computed(() =>
  shown.value.map(({ remounts }) =>
    remounts.map(({ analysis, picture: { total, points } }) => ({ analysis, total, points })),
  ),
);

/** Worked out when it is drawn. */
const along = computed(() => {
  const [recordings, spread] = [overlaid.value, known.value];
  return lazily(() => dragAlong(recordings, spread));
});

/** The chosen builds as pictures and tables take them; those without an analysed recording are not there yet. */
export const pictured = computed<readonly PicturedBuild[]>(() => {
  const seen = view.value;
  const { kind, at_degC, hidden } = seen;
  const overlay = overlayOf(overlaid.value, { kind, at_degC, known: known.value });
  const inView = (point: { readonly velocity_m_per_s: number }) => isInView(point.velocity_m_per_s, seen);
  const curves = overlay.curves().map((curve) => curve.filter(inView));
  const differences = lazily(() => overlay.differences().map((curve) => curve.filter(inView)));
  const dragsAlong = along.value;
  const drags = frictionOf(shown.value, 'mean_N');
  const breakaways = frictionOf(shown.value, 'breakaway_N');
  return shown.value.map(
    ({ build, identity, remounts }, index): PicturedBuild => ({
      id: build.id,
      name: build.name,
      identity,
      isHidden: hidden.includes(build.id),
      total: curves[index]!,
      get difference() {
        return differences()[index - 1] ?? [];
      },
      drag_N: drags[index]!,
      breakaway_N: breakaways[index]!,
      get dragAlong() {
        return dragsAlong()[index]!;
      },
      recordings: overlaid.value[index]!,
      remounts: remounts.map((remount) => ({
        recordingId: remount.recording.id,
        remount: remount.recording.remount,
        drag_N: remount.analysis.friction.mean_N?.value ?? null,
        breakaway_N: remount.analysis.friction.breakaway_N?.value ?? null,
        points: remount.picture.points,
        behind: behindOf(remount, seen),
      })),
    }),
  );
});

type Behind = PicturedBuild['remounts'][number]['behind'];
const lastBehind = new WeakMap<
  AnalysedRemount['picture'],
  { readonly seen: View; readonly behind: Behind }
>();

/** What belongs behind a remount's curve, the same object as long as it is looked at the same way. */
function behindOf({ analysis, picture }: AnalysedRemount, seen: View): Behind {
  const last = lastBehind.get(picture);
  if (last && haveSamePoints(last.seen, seen)) return last.behind;
  const { total, points } = picture;
  const force_N = overlayPoints({ analysis, total }, points, seen);
  const kept = points.velocity_m_per_s.map((velocity) => isInView(velocity, seen));
  const isKept = (_: number, i: number) => kept[i]!;
  const behind = {
    velocity_m_per_s: points.velocity_m_per_s.filter(isKept),
    force_N: force_N.filter(isKept),
  };
  lastBehind.set(picture, { seen, behind });
  return behind;
}

/** One friction level of each build, null where none of its remounts supports it. */
function frictionOf(
  builds: readonly Pick<ChosenBuild, 'remounts'>[],
  level: 'mean_N' | 'breakaway_N',
): (Estimate | null)[] {
  const values = builds.map(({ remounts }) =>
    remounts.flatMap(({ analysis }) => analysis.friction[level] ?? []),
  );
  const spread = spreadFor(known.value, level === 'mean_N' ? 'friction_N' : 'breakaway_N');
  const means = remountMeans(
    values.filter((side) => side.length > 0),
    spread,
  );
  return values.map((side) => (side.length > 0 ? means.shift()! : null));
}

/** The reference against one other chosen build. */
export interface ShownComparison {
  readonly before: ChosenBuild;
  readonly after: ChosenBuild;
  readonly comparison: BuildComparison;
}

const ready = computed(() => {
  const [before, ...others] = chosen.value;
  return before?.isReady ? [before, ...others.filter(({ isReady }) => isReady)] : [];
});

/**
 * The chosen builds against the reference, made when all their recordings are analysed and what their rig has learnt
 * of remounts is here; null before.
 */
export const compared = computed<CompareAnswer | null>(() =>
  ready.value.length < 2 || !known.value
    ? null
    : compareAnswer({
        builds: ready.value.map(({ build, remounts }) => ({
          name: build.name,
          analyses: remounts.map(({ analysis }) => analysis),
        })),
        known: known.value,
        at_degC: view.value.at_degC,
      }),
);

/** The same, one for every other build. */
export const comparisons = computed<readonly ShownComparison[]>(() =>
  (compared.value?.comparisons ?? []).map((comparison, k) => ({
    before: ready.value[0]!,
    after: ready.value[k + 1]!,
    comparison,
  })),
);
