import type { RelativeSpreads, SittingPlan, SittingQuestion, SittingQuestionId } from '../answers/index.js';
import { count, formatChosen, formatNumber, sentenceCase } from './numbers.js';

/** What people come with, in their words, and when it is theirs. */
export const sittingQuestionWords: Readonly<
  Record<SittingQuestionId, { readonly asks: string; readonly when: string; readonly wanted: string }>
> = {
  change: {
    asks: 'Did the change do anything?',
    when: 'a seal, a lubricant, a spacer: the same shock before and after',
    wanted: 'Smallest difference in drag that matters',
  },
  match: {
    asks: 'Does it match another build?',
    when: 'a drilled piston, the shock on the other side, a curve to reach',
    wanted: 'Tolerance on its damping',
  },
  oil: {
    asks: 'Which oil now?',
    when: 'the piston stays, the damping is to change',
    wanted: 'Smallest difference in damping that matters',
  },
  stick: {
    asks: 'Does it stick when it has stood?',
    when: 'a shock that starts hard: slow strokes, and starts after standing',
    wanted: 'Interval wanted on its drag',
  },
  spring: {
    asks: 'What spring is this?',
    when: 'a label to check, or none: the spring alone, pulled slowly',
    wanted: 'Interval wanted on its drag',
  },
  travel: {
    asks: 'How much travel is there?',
    when: 'from stop to stop, and how each end is met',
    wanted: 'Interval wanted on its drag',
  },
  rig: {
    asks: 'Is my rig good enough?',
    when: 'one build that stays as it is, taken off and put back',
    wanted: 'Difference that it should tell from nothing',
  },
  look: {
    asks: 'What does this shock do?',
    when: 'a first look, nothing to decide yet',
    wanted: 'Interval wanted on its drag',
  },
};

const percent = (value: number) => `${formatNumber(value, 2)} %`;

/**
 * How often to mount and why, in a sentence or three.
 * @param wanted_percent as the plan was made with
 */
export function sittingPlanSentences(
  question: SittingQuestion,
  wanted_percent: number,
  { remounts, sees_percent, atWorst_percent, isWithinReach }: SittingPlan,
  spreads: RelativeSpreads,
): string[] {
  if (question.decides === 'nothing')
    return [
      `${sentenceCase(count(remounts, 'recording'))}: ${whatOneShows(question, percent(100 * spreads.drag.standardDeviation))}`,
    ];
  if (question.decides === 'spread')
    return [
      remounts > 1
        ? `${sentenceCase(count(remounts, 'remount'))} of one build, nothing changed in between: they show by how much the rig differs from itself.`
        : 'One recording shows nothing of how the rig differs from itself: two at least.',
    ];
  const times = `${sentenceCase(count(remounts, 'remount'))} of each build`;
  if (sees_percent === null || !Number.isFinite(sees_percent))
    return [`${times}: one mounting of each says nothing of how the next would come out. Two at least.`];
  const wanted = `${formatChosen(wanted_percent)} %`;
  const sees =
    question.decides === 'tolerance'
      ? `a build that is right is found within ${percent(sees_percent)}`
      : `a difference of ${percent(sees_percent)} in ${question.about} is told from nothing`;
  const reach = isWithinReach ? '' : ` The ${wanted} that you want needs more.`;
  return [
    `${times}: ${sees} four times in five.${reach}`,
    spreadSentence(question, spreads, atWorst_percent),
  ];
}

function whatOneShows({ procedure }: SittingQuestion, between: string): string {
  if (procedure === 'spring-pull')
    return 'the spring moved slowly there and back tells its rate, its preload and what rubs.';
  if (procedure === 'travel-sweep')
    return 'moved slowly until each stop is just felt, it tells the travel and where the stop begins.';
  if (procedure === 'slow-sweep')
    return 'starts after standing are held against starts without, and drag is seen along the travel.';
  return `enough to see its drag and damping. Taken off and put back it would differ by about ${between}, which one recording does not show.`;
}

function spreadSentence(
  { about }: SittingQuestion,
  spreads: RelativeSpreads,
  atWorst_percent: number | null,
): string {
  const between = percent(100 * spreads[about].standardDeviation);
  if (spreads.basis === 'assumed')
    return `That is with ${between} between remounts, which is assumed until this rig has shown its own (common practice, no source).`;
  const worst = atWorst_percent === null ? '' : `; at worst it is ${percent(atWorst_percent)}`;
  return spreads.remounts > 0
    ? `Remounts on this rig differ by ${between}, as ${count(spreads.remounts, 'remount')} show${worst}.`
    : `Remounts on this rig have differed by ${between}${worst}.`;
}

/** What comes next in a series: "Remount 2 of 3: take the shock off the rig, put it back, then start." */
export function nextRemountSentence(remount: number, of: number, isPractice: boolean): string {
  const which = `Remount ${remount}${of >= remount ? ` of ${of}` : ''}`;
  if (remount === 1) return `${which}: mount the shock as you always do.`;
  return isPractice
    ? `${which}: the practice rig takes the shock off and puts it back by itself.`
    : `${which}: take the shock off the rig and put it back, so that what mounting changes is seen.`;
}
