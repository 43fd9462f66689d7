import {
  gravityAnywhere,
  gravityUncertainty_m_per_s2,
  normalGravity_m_per_s2,
} from '../../../analysis/index.js';
import {
  type CrankPlan,
  type FoundAtRig,
  faultsOfProfile,
  type LengthPlan,
  type MassPlan,
  type RigIdentity,
  type RigProfile,
  usualForceShare,
  usualLengthUncertainty_m,
  usualMassUncertainty,
} from '../../../daq/index.js';
import type { CarePlan } from '../api-care.js';
import { requestError } from '../errors.js';

/** What is known of local gravity: what the person says, what the rig's profile has, or what it is anywhere. */
export function gravityOf(
  { gravity_m_per_s2, latitude_deg, height_m }: CarePlan,
  profile: RigProfile | null,
) {
  if (gravity_m_per_s2 === null && latitude_deg !== null) {
    const value_m_per_s2 = normalGravity_m_per_s2(latitude_deg, height_m ?? 0);
    return { value_m_per_s2, relative: gravityUncertainty_m_per_s2 / value_m_per_s2 };
  }
  const known = gravity_m_per_s2 ?? profile?.gravity_m_per_s2 ?? null;
  return known === null ? gravityAnywhere : { value_m_per_s2: known, relative: 0 };
}

export function massPlan(plan: CarePlan, profile: RigProfile | null): MassPlan {
  const gravity = gravityOf(plan, profile);
  const { massUncertainty_percent: percent } = plan;
  return {
    masses_kg: plan.masses_g.map((mass_g) => mass_g / 1000),
    runs: plan.runs,
    gravity_m_per_s2: gravity.value_m_per_s2,
    referenceUncertainty: Math.hypot(
      percent === null ? usualMassUncertainty : percent / 100,
      gravity.relative,
    ),
    sense: plan.isPull ? -1 : 1,
    cellCapacity_N: plan.capacity_N ?? profile?.cellCapacity_N ?? null,
  };
}

export const lengthPlan = (plan: CarePlan): LengthPlan => ({
  lengths_m: plan.lengths_mm.map((length_mm) => length_mm / 1000),
  runs: plan.runs,
  lengthUncertainty_m:
    plan.lengthUncertainty_mm === null ? usualLengthUncertainty_m : plan.lengthUncertainty_mm / 1000,
});

/** Nine positions are four more than are needed. Common practice, no source. */
const crankPositions = 9;

/** @throws requestError 'bad-request' naming what was not said */
export function crankPlan(plan: CarePlan): CrankPlan {
  return {
    radius_m: said(plan, 'radius_mm', 'half the stroke, mm') / 1000,
    rod_m: said(plan, 'rod_mm', 'the length of the rod, mm') / 1000,
    counts_per_revolution: said(plan, 'countsPerTurn', 'counts of a whole turn'),
    positions: crankPositions,
  };
}

/** A profile from what was found at the rig and what its owner knows. @throws requestError 'bad-request' */
export function profileFrom(
  found: FoundAtRig,
  plan: CarePlan,
  { drive }: Pick<RigIdentity, 'drive'>,
): RigProfile {
  const cellCapacity_N = said(plan, 'capacity_N', 'the load printed on the cell, N');
  const profile: RigProfile = {
    ...found,
    cellCapacity_N,
    forceLimit_N: plan.forceLimit_N ?? usualForceShare * cellCapacity_N,
    stroke_m: said(plan, 'stroke_mm', 'the whole travel of the slide, mm') / 1000,
    drive: drive && {
      speedMin_rev_per_s: drive.speedMin_mHz / 1000,
      speedMax_rev_per_s: plan.fastest_rev_per_s ?? drive.speedMax_mHz / 1000,
    },
    gravity_m_per_s2:
      plan.gravity_m_per_s2 === null && plan.latitude_deg === null
        ? null
        : gravityOf(plan, null).value_m_per_s2,
  };
  const [fault] = faultsOfProfile(profile);
  if (fault) throw refused(`plan.${fault.key}`, fault.found, fault.wanted);
  return profile;
}

/** What a set-up needs to be told, before anything is asked of the person at the rig. @throws requestError 'bad-request' */
export function refusePlan(what: string, plan: CarePlan): void {
  if (what === 'angle') crankPlan(plan);
  if (what !== 'setup') return;
  const capacity_N = said(plan, 'capacity_N', 'the load printed on the cell, N');
  said(plan, 'stroke_mm', 'the whole travel of the slide, mm');
  if ((plan.forceLimit_N ?? 0) > capacity_N)
    throw refused(
      'plan.forceLimit_N',
      `${plan.forceLimit_N} N`,
      `at most the ${capacity_N} N printed on the cell`,
    );
}

function said(
  plan: CarePlan,
  key: 'radius_mm' | 'rod_mm' | 'countsPerTurn' | 'capacity_N' | 'stroke_mm',
  wanted: string,
): number {
  const value = plan[key];
  if (value === null) throw refused(`plan.${key}`, 'nothing', wanted);
  return value;
}

const refused = (where: string, found: string, wanted: string) =>
  requestError(400, { code: 'bad-request', found, wanted, where });
