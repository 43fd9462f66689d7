import type { Finding, FindingCode } from '../result.js';
import { binding } from './binding.js';
import { crankLocked } from './crank-locked.js';
import type { Criterion, Evidence } from './evidence.js';
import { forceSaturated } from './force-saturated.js';
import { loopEnergy } from './loop-energy.js';
import { playInMounts } from './play-in-mounts.js';
import { kernelChosen, lagUnresolved } from './rig-unknowns.js';
import { samplesMissing } from './samples-missing.js';
import { airInOil, compressionCeiling, endContact } from './shock-features.js';
import { signReversed } from './sign-reversed.js';
import { stickSlip } from './stick-slip.js';
import { tooFewCycles } from './too-few-cycles.js';
import { tooSlowSampling } from './too-slow-sampling.js';
import { uncheckedLines } from './unchecked-lines.js';
import { warming } from './warming.js';

/** Most serious first. */
const criteria: readonly Criterion[] = [
  signReversed,
  forceSaturated,
  samplesMissing,
  tooSlowSampling,
  crankLocked,
  tooFewCycles,
  playInMounts,
  airInOil,
  compressionCeiling,
  endContact,
  stickSlip,
  binding,
  warming,
  loopEnergy,
  lagUnresolved,
  kernelChosen,
  uncheckedLines,
];

const shockFaults: readonly FindingCode[] = [
  'play-in-mounts',
  'air-in-oil',
  'compression-ceiling',
  'end-contact',
  'stick-slip',
  'binding',
];
/** Read from what the fit leaves over or from its slow trends, which any fault it does not know bends. */
const subtle: readonly FindingCode[] = ['warming', 'loop-energy-mismatch'];

/** What one fault makes the fit say in error: told is the fault, not what follows from it. */
const hides: Partial<Record<FindingCode, readonly FindingCode[]>> = {
  'sign-reversed': [...shockFaults, ...subtle],
  'too-slow-sampling': [...shockFaults, ...subtle],
  'play-in-mounts': ['air-in-oil', 'end-contact', 'stick-slip', 'binding', ...subtle],
  'force-saturated': subtle,
  'end-contact': subtle,
  'stick-slip': subtle,
  binding: subtle,
  warming: ['loop-energy-mismatch'],
};

/**
 * What is worth telling about a recording, most serious first.
 * @param evidence all made from the same samples; its trace on the recording's own clock
 */
export function findingsOf(evidence: Evidence): Finding[] {
  const found = criteria.flatMap((criterion) => criterion(evidence) ?? []);
  const hidden = new Set(found.flatMap(({ code }) => hides[code] ?? []));
  // A thermometer's warming is not of the fit's making.
  return found.filter(({ code, values }) => !hidden.has(code) || 'rise_K' in values);
}
