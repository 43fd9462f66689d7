/** What a rig's owner found out about it once, at its first set-up; each change is a new version. */
export interface RigProfile {
  /** Whether counts rise (1) or fall (−1) when the shock pushes back, and when it moves into compression. */
  readonly forceSign: 1 | -1;
  readonly positionSign: 1 | -1;
  /** Position counts with the shock, or the slide, fully extended. */
  readonly fullExtension_counts: number;
  /** Force counts with nothing mounted. */
  readonly forceZero_counts: number;
  /** Rated load of the cell, as printed on it. */
  readonly cellCapacity_N: number;
  /** Load at which a run is to end, well below the capacity. */
  readonly forceLimit_N: number;
  /** Whole travel of the drive or the slide. */
  readonly stroke_m: number;
  /** The owner's limits, within what the firmware allows; null for a rig moved by hand. */
  readonly drive: { readonly speedMin_rev_per_s: number; readonly speedMax_rev_per_s: number } | null;
  readonly temperature: 'sensor' | 'manual';
  /** Local free fall, where it is known; for hanging masses. */
  readonly gravity_m_per_s2: number | null;
}

/** Share of the cell's capacity at which a run ends unless its owner chooses another. Judgement, no source. */
export const usualForceShare = 0.6;

/** What is wrong with a profile, as key, found and wanted; empty when nothing is. */
export function faultsOfProfile(profile: RigProfile): { key: string; found: string; wanted: string }[] {
  const { cellCapacity_N, forceLimit_N, stroke_m, drive, gravity_m_per_s2 } = profile;
  const faults: { key: string; found: string; wanted: string }[] = [];
  const demand = (isRight: boolean, key: string, found: unknown, wanted: string) => {
    if (!isRight) faults.push({ key, found: String(found), wanted });
  };
  demand(Math.abs(profile.forceSign) === 1, 'forceSign', profile.forceSign, '1 or −1');
  demand(Math.abs(profile.positionSign) === 1, 'positionSign', profile.positionSign, '1 or −1');
  for (const key of ['fullExtension_counts', 'forceZero_counts'] as const)
    demand(Number.isFinite(profile[key]), key, profile[key], 'a number of counts');
  demand(cellCapacity_N > 0, 'cellCapacity_N', cellCapacity_N, 'the load printed on the cell, above 0 N');
  demand(
    forceLimit_N > 0 && forceLimit_N <= cellCapacity_N,
    'forceLimit_N',
    forceLimit_N,
    `above 0 and at most the capacity of ${cellCapacity_N} N`,
  );
  demand(stroke_m > 0 && stroke_m < 1, 'stroke_m', stroke_m, 'a travel above 0 and below 1 m');
  if (drive)
    demand(
      drive.speedMin_rev_per_s > 0 && drive.speedMax_rev_per_s > drive.speedMin_rev_per_s,
      'drive',
      `${drive.speedMin_rev_per_s} to ${drive.speedMax_rev_per_s} rev/s`,
      'a slowest speed above 0 and a faster fastest one',
    );
  if (gravity_m_per_s2 !== null)
    demand(
      gravity_m_per_s2 > 9.7 && gravity_m_per_s2 < 9.9,
      'gravity_m_per_s2',
      gravity_m_per_s2,
      '9.76 to 9.84 m/s², as anywhere on the ground',
    );
  return faults;
}
