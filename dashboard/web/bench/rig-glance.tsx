import { checkSentence } from '../../wording/index.js';
import { shortTime } from '../pieces/times.js';
import { isPractice, rigAtHand } from './sitting.js';

/** A rig's state in a line: its calibration, and what its check standard said last. */
export function RigGlance() {
  const known = rigAtHand.value;
  if (!known)
    return isPractice.value ? null : (
      <p class="glance">Nothing is known of this rig yet: it has no calibration in this logbook.</p>
    );
  const { name, calibration, check } = known;
  return (
    <p class="glance">
      <strong>{name}</strong>:{' '}
      {calibration
        ? `calibrated ${shortTime(calibration.madeAt)} (version ${calibration.version}).`
        : 'not calibrated, and nothing can be recorded until it is.'}{' '}
      {!isPractice.value && checkWords(check)}
    </p>
  );
}

function checkWords(check: NonNullable<typeof rigAtHand.value>['check']): string {
  if (!check) return 'No check standard: nothing would show it if the rig changed.';
  if (!check.answer || !check.measuredAt)
    return `Its check standard “${check.standard}” has not been measured yet.`;
  return `Check standard, ${shortTime(check.measuredAt)}: ${checkSentence(check.answer)}`;
}
