import type { Logbook, RigId } from '../../daq/index.js';
import { lastCheck } from '../answers/index.js';
import type { ApiCheck } from './api-care.js';

/** A rig's check standard and what it said last; null for a rig without one. */
export function checkOfRig(logbook: Logbook, id: RigId): ApiCheck | null {
  const standard = logbook.checkStandardOf(id);
  if (!standard) return null;
  const last = lastCheck((quantity) => logbook.checkHistory(id, quantity));
  return {
    standard: standard.buildName,
    since: standard.createdAt,
    answer: last?.answer ?? null,
    measuredAt: last?.measuredAt ?? null,
  };
}
