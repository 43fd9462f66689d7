/** All sentences, digits and units that people read, made from numbers. No node, no DOM: the command line and the page share it. */
export { amountText } from './amounts.js';
export { buildsSentences, matchRows, pairsSentences, planSentence, spreadSentence } from './builds.js';
export {
  type CareName,
  type CareWords,
  careWords,
  drivenCautions,
  enteredSentence,
  longRunSentence,
  movingCaution,
  profileSentence,
  underSentence,
  versionsSentence,
  withoutReadingsSentence,
} from './care.js';
export {
  type ComparisonWording,
  comparisonSentences,
  type DifferenceRow,
  differenceRows,
  differenceSentence,
  proportionWords,
  type SideNames,
  verdictWords,
} from './comparison.js';
export { type CornerRow, cornerRows, cornerSentences } from './corner.js';
export {
  type CornerSpringsRow,
  cornerSpringsRows,
  cornerSpringsSentences,
  landingPictureSentence,
  swingPictureSentence,
} from './corner-springs.js';
export { editWords, type NamedEdit, thingWords } from './edits.js';
export { findingCodes, findingSentence } from './findings.js';
export { columnReasonWords, markReasonWords, oddWords, seenWords } from './imports.js';
export { followedName, followedWords, liveSentence, neededText, type Sharpness } from './live-estimate.js';
export { type JudgedRow, judgedRows, matchSentences, unmeasuredSentences } from './match.js';
export {
  type MoreRemountsRow,
  moreNeeded,
  moreRemountsRows,
  moreRemountsSentences,
  resolvedName,
  resolvesPictureSentence,
} from './more-remounts.js';
export {
  count,
  decimalsOfUncertainty,
  type EstimateText,
  estimateText,
  formatChosen,
  formatDecimals,
  formatNumber,
  plusMinus,
  sentenceCase,
} from './numbers.js';
export { inOrderOfInterest } from './order-of-interest.js';
export { differenceReachSentence, dragAlongSentence, overlayName, overlayNote } from './overlay.js';
export { changeText, partLabel, partText } from './parts.js';
export { type DrillRow, drillingCaution, drillRows, holeSentences } from './plan-holes.js';
export { intervalText, oilSentences, oilText, type ShelfRow, shelfRows } from './plan-oil.js';
export { type QuantityMeaning, quantityMeaning } from './quantities.js';
export { acrossSentence, pointNearest, recordingSentence } from './recording.js';
export { notIdentifiedSentences, refusalSentence } from './refusals.js';
export {
  builtSentence,
  calibrationSentence,
  conditionsText,
  dateText,
  lastCheckSentence,
  nextStepSentences,
  verdictReason,
} from './report.js';
export { resolvesRows, resolvesSentences } from './resolves.js';
export * from './rig-care.js';
export { shelfPartText } from './shelf.js';
export { nextRemountSentence, sittingPlanSentences, sittingQuestionWords } from './sitting.js';
export { directionText, placeText, speedText } from './speeds.js';
export { springCaution, springRows, springSentences } from './spring.js';
export { standingSentence } from './standing.js';
export { sweepCaution, travelRows, travelSentences } from './travel.js';
export {
  type Dimension,
  type DisplayScale,
  type DisplayUnits,
  displayScale,
  type ForceUnit,
  type LengthUnit,
  metric,
} from './units.js';
