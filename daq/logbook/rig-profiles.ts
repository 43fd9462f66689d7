import { DaqError } from '../daq-error.js';
import { faultsOfProfile, type RigProfile } from '../rig-profile.js';
import type { RigId } from './entities.js';
import type { Connection } from './open-database.js';

export interface RigProfileRecord {
  readonly rigId: RigId;
  /** 1, 2, … for one rig; the last one holds. */
  readonly version: number;
  readonly profile: RigProfile;
  readonly note: string;
  readonly createdAt: string;
}

interface ProfileRow {
  rig_id: RigId;
  version: number;
  profile_json: string;
  note: string;
  created_at: string;
}

/** The part of the logbook that knows what rigs are like; a profile is never edited. */
export function rigProfiles(connection: Connection, now: () => string) {
  const insert = connection.prepare<Record<string, unknown>, ProfileRow>(
    `INSERT INTO rig_profile (rig_id, version, profile_json, note, created_at)
     VALUES (@rig, (SELECT 1 + coalesce(max(version), 0) FROM rig_profile WHERE rig_id = @rig), @profile, @note, @now)
     RETURNING *`,
  );
  const select = connection.prepare<[number], ProfileRow>(
    'SELECT * FROM rig_profile WHERE rig_id = ? ORDER BY version DESC',
  );
  return {
    /**
     * Enters the next version of a rig's profile.
     * @throws DaqError 'calibration-refused' naming the first thing that cannot be so
     */
    addRigProfile(rigId: RigId, profile: RigProfile, note = ''): RigProfileRecord {
      const [fault] = faultsOfProfile(profile);
      if (fault) throw new DaqError('calibration-refused', { where: 'rig profile', ...fault });
      return profileOf(insert.get({ rig: rigId, profile: JSON.stringify(profile), note, now: now() })!);
    },
    rigProfile(rigId: RigId): RigProfileRecord | undefined {
      const row = select.get(rigId);
      return row && profileOf(row);
    },
    /** The newest first. */
    listRigProfiles: (rigId: RigId): RigProfileRecord[] => select.all(rigId).map(profileOf),
  };
}

function profileOf({ rig_id, version, profile_json, note, created_at }: ProfileRow): RigProfileRecord {
  return {
    rigId: rig_id,
    version,
    profile: JSON.parse(profile_json) as RigProfile,
    note,
    createdAt: created_at,
  };
}
