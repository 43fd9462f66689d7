import { spreadsBeside } from '../spreads-beside.js';
import { wantedRecordings } from './selection.js';

/** What the rig's past says about remounts beside the selection. */
export const {
  known,
  areHere: areSpreadsHere,
  trouble: spreadsTrouble,
  need: needSpreads,
  retry: retrySpreads,
} = spreadsBeside(wantedRecordings);
