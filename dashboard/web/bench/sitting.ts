import { computed, signal } from '@preact/signals';
import {
  type FollowedQuantity,
  neededHalfWidth,
  type RelativeSpreads,
  relativeSpreads,
  resolvesAnswer,
  type SittingQuestionId,
  sittingPlan,
  sittingQuestion,
} from '../../answers/index.js';
import type {
  ApiBuild,
  AskedSeries,
  PortsBody,
  ProcedureChoiceId,
  RigsBody,
  StartRecordingBody,
} from '../../server/api.js';
import { analysesOf, buildOf, logbook, remountsOf } from '../logbook.js';

/** What this page's sitting is about; it outlives a recording, so that the next remount is one key away. */
export const rig = signal<StartRecordingBody['rig'] | null>(null);
export const build = signal<StartRecordingBody['build'] | null>(null);
export const question = signal<SittingQuestionId>('change');
/** What the person chose instead of what follows from the question; null for that. */
export const chosen = {
  wanted_percent: signal<number | null>(null),
  remounts: signal<number | null>(null),
  procedure: signal<ProcedureChoiceId | null>(null),
};
/** In the middle of a series: only the next remount is asked for, or what the change was. */
export const isGoingOn = signal(false);

export const ports = signal<PortsBody | null>(null);
export const rigs = signal<RigsBody['rigs']>([]);

export const isPractice = computed(() => rig.value?.kind === 'practice');

/** What the practice rig plays for questions that are not about a damper. */
const playedFor: Partial<Readonly<Record<SittingQuestionId, string>>> = {
  spring: 'dry-spring',
  travel: 'stop-inside',
};

/** The practice rig with something on it that the question can be asked of, as it was recorded before if it plays that. */
export const practiceRig = (): NonNullable<typeof rig.value> => ({
  kind: 'practice',
  build: playedFor[question.value] ?? playedAs(build.value) ?? ports.value!.practice[0]!,
});

/** What the practice rig plays by the name of a build. */
function playedAs(onRig: typeof build.value): string | undefined {
  const name = onRig?.kind === 'existing' ? buildOf(onRig.buildId)?.name : undefined;
  return ports.value!.practice.find((played) => played === name?.toLowerCase().replaceAll(' ', '-'));
}

/** What is to be recorded; the practice rig follows where it can. */
export function chooseBuild(next: NonNullable<typeof build.value>): void {
  build.value = next;
  if (isPractice.value && playedAs(next)) rig.value = practiceRig();
}

/** Another question follows its own plan. */
export function ask(id: SittingQuestionId): void {
  const isPlayed = playedFor[id] !== playedFor[question.value];
  question.value = id;
  if (isPractice.value && isPlayed) rig.value = practiceRig();
  chosen.wanted_percent.value = null;
  chosen.remounts.value = null;
  chosen.procedure.value = null;
}

/** The rig in question: its name is known to the logbook only once it was recorded on. */
export const rigAtHand = computed(
  () => rigs.value.find(({ name }) => (name === 'simulated rig') === isPractice.value) ?? null,
);

/** Remounts that are analysed to learn the rig's spread where it was not learnt: of the newest builds that have some. */
const TELLING_BUILDS = 2;
const TELLING_REMOUNTS = 3;

/** Complete recordings on the kind of rig at hand, the newest. */
const telling = computed(() =>
  (logbook.value?.builds ?? [])
    .map((known) => ({
      known,
      recordings: remountsOf(known)
        .filter(({ simulated }) => simulated === isPractice.value)
        .slice(-TELLING_REMOUNTS),
    }))
    .filter(({ recordings }) => recordings.length > 1)
    .slice(-TELLING_BUILDS),
);

/** Recordings whose analyses tell how this rig's remounts differ. */
export const tellingRecordings = computed(() =>
  telling.value.flatMap(({ recordings }) => recordings.map(({ id }) => id)),
);

export const spreads = computed<RelativeSpreads>(() => {
  const learnt = rigAtHand.value?.spreads.find(({ quantity }) => quantity === 'friction_N');
  const answer = resolvesAnswer({
    builds: telling.value.map(({ known, recordings }) => ({
      name: known.name,
      analyses: analysesOf(recordings.map(({ id }) => id)),
    })),
    ...(learnt && {
      known: { relative: learnt.relativeStandardDeviation, degreesOfFreedom: learnt.degreesOfFreedom },
    }),
    expected: { drag_N: 1, damping_N: 1 },
  });
  return relativeSpreads(answer)!;
});

/** The question with what is wanted of it, and what follows. */
export const planned = computed(() => {
  const asked = sittingQuestion(question.value);
  const wanted_percent = chosen.wanted_percent.value ?? asked.wanted_percent;
  const plan = sittingPlan(asked, wanted_percent, spreads.value, chosen.remounts.value ?? undefined);
  return { asked, wanted_percent, plan };
});

export const askedSeries = computed<AskedSeries>(() => ({
  question: question.value,
  wanted_percent: planned.value.wanted_percent,
  remounts: planned.value.plan.remounts,
}));

/** Takes over what a recording is for and what it is of, whoever started it. */
export function adopt({
  asked,
  buildId,
}: {
  readonly asked: AskedSeries | null;
  readonly buildId: number;
}): void {
  build.value = { kind: 'existing', buildId };
  if (!asked) return;
  question.value = asked.question;
  chosen.wanted_percent.value = asked.wanted_percent;
  chosen.remounts.value = asked.remounts;
}

/** Half-width that a recording needs, of a quantity's value; null where the question decides nothing. */
export function neededOf(
  asked: AskedSeries | null,
  quantity: FollowedQuantity,
  value: number,
): number | null {
  if (!asked) return null;
  const of = quantity === 'friction_N' ? 'drag' : 'damping';
  const { question, wanted_percent, remounts } = asked;
  return neededHalfWidth(sittingQuestion(question), wanted_percent, remounts, spreads.value, of, value);
}

/** The quantity that decides a question. */
export const decisive = (asked: AskedSeries | null): FollowedQuantity =>
  asked && sittingQuestion(asked.question).about === 'damping' ? 'damping.compression@0.10' : 'friction_N';

/** The build that a change is held against: what it was made from, else one made from it, as far as recorded. */
export function counterpartOf(of: ApiBuild): ApiBuild | null {
  const isRecorded = (other: ApiBuild | undefined) => other && remountsOf(other).length > 0;
  const parent = of.parentId === null ? undefined : buildOf(of.parentId);
  if (isRecorded(parent)) return parent!;
  return (
    (logbook.value?.builds ?? []).findLast((other) => other.parentId === of.id && isRecorded(other)) ?? null
  );
}
