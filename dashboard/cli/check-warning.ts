import type { Logbook } from '../../daq/index.js';
import { isSameSitting, lastCheck } from '../answers/index.js';
import { checkSentence } from '../wording/index.js';
import { wrap } from './terminal.js';

/**
 * Says before a recording what the rig's check standard said last, where that was no good, or that it was not measured
 * in this sitting; nothing for a rig without one.
 */
export function warnOfCheck(logbook: Logbook, rigName: string, now = new Date()): void {
  const rigId = logbook.findRig(rigName);
  if (rigId === undefined || !logbook.checkStandardOf(rigId)) return;
  const last = lastCheck((quantity) => logbook.checkHistory(rigId, quantity));
  if (!last) return;
  const { answer, measuredAt } = last;
  if (['outside', 'drifting', 'spread'].includes(answer.verdict))
    process.stderr.write(`${wrap(`▲ ${checkSentence(answer)}`, 78, '  ')}\n`);
  else if (!isSameSitting(measuredAt, now.toISOString()))
    process.stderr.write(
      `${wrap('· The check standard was not measured in this sitting: `check` takes half a minute, and says whether the rig is as it was.', 78, '  ')}\n`,
    );
}
