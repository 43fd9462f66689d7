import type { DriveIdentity } from '../link/rig-identity.js';
import { accepted, refused } from './command-checks.js';
import { judged, type RigCheck, type RigCheckCode, unseen } from './rig-check.js';
import { type HeardLine, type RigConversation, textOf } from './rig-conversation.js';

/** A lease longer than this is not waited for. */
const LONGEST_LEASE_MS = 10_000;
const BEATS_PER_LEASE = 4;
/** How late a device may notice, and how late its word may come. */
const LATE_MS = 500;
const EARLY_MS = 50;

const driveChecks: readonly RigCheckCode[] = [
  'drive-range',
  'drive-beats',
  'drive-halt',
  'drive-lease',
  'drive-tripped',
];

/** What is said of the drive to a person who did not ask for it to be turned. No `DRIVE` is sent. */
export function leaveDrive(): RigCheck[] {
  return (['no-drive', ...driveChecks] as const).map((code) => unseen(code, 'not asked for', 'see --drive'));
}

/**
 * Turns the drive at its slowest, lets the lease run out, and leaves the device tripped. Only ever called when a person
 * asked for it, with a hand at the switch that cuts the drive's power.
 */
export async function checkDrive(rig: RigConversation, drive: DriveIdentity | null): Promise<RigCheck[]> {
  if (drive === null)
    return [
      refused('no-drive', await rig.ask({ type: 'drive', speed_mHz: 1000 }), 'DRIVE', 'no-drive'),
      ...driveChecks.map((code) => unseen(code, 'a rig without a drive', 'a rig with one')),
    ];
  return [unseen('no-drive', 'a rig with a drive', 'a rig without one'), ...(await turnAndTrip(rig, drive))];
}

async function turnAndTrip(rig: RigConversation, drive: DriveIdentity): Promise<RigCheck[]> {
  const { speedMin_mHz: speed_mHz, lease_ms } = drive;
  const first = await rig.ask({ type: 'drive', speed_mHz });
  if (first?.frame.type === 'refusal' && first.frame.code === 'tripped')
    return driveChecks.map((code) => unseen(code, textOf(first), 'an armed drive: re-arm it, at the rig'));
  if (lease_ms > LONGEST_LEASE_MS)
    return driveChecks.map((code) =>
      unseen(code, `a lease of ${lease_ms} ms`, `one of at most ${LONGEST_LEASE_MS} ms, to wait for`),
    );
  const range = await checkRange(rig, drive);

  const from = rig.heard.length;
  for (let beat = 0; beat < 1.5 * BEATS_PER_LEASE; beat++) {
    rig.tell({ type: 'beat' });
    await rig.listen(lease_ms / BEATS_PER_LEASE);
  }
  const stopped = rig.heard.slice(from).find(isStop);
  const beats = judged(
    'drive-beats',
    first?.frame.type === 'reply' && stopped === undefined,
    stopped ? textOf(stopped) : textOf(first),
    `A,…,DRIVE and no stop in 1.5 leases with ${BEATS_PER_LEASE} beats each`,
  );

  const halted = accepted('drive-halt', await rig.ask({ type: 'halt' }), 'HALT');
  const again = accepted(
    'drive-halt',
    await rig.ask({ type: 'drive', speed_mHz }),
    'DRIVE, as HALT is no trip',
  );
  const lease = await checkLease(rig, lease_ms);
  const tripped = refused('drive-tripped', await rig.ask({ type: 'drive', speed_mHz }), 'DRIVE', 'tripped');
  return [range, beats, halted.outcome === 'passed' ? again : halted, lease, tripped];
}

const isStop = ({ frame }: HeardLine) => frame.type === 'event' && frame.event !== 'overrun';

/** Speeds just outside the declared range are refused; the drive goes on as it was. */
async function checkRange(rig: RigConversation, drive: DriveIdentity): Promise<RigCheck> {
  const outside = [drive.speedMax_mHz + 1, ...(drive.speedMin_mHz > 0 ? [drive.speedMin_mHz - 1] : [])];
  for (const speed_mHz of outside) {
    const answer = await rig.ask({ type: 'drive', speed_mHz });
    const check = refused('drive-range', answer, 'DRIVE', 'bad-argument');
    if (check.outcome === 'failed') return { ...check, found: `${check.found} to ${speed_mHz} mHz` };
  }
  return judged('drive-range', true, `so for ${outside.join(' and ')} mHz`, 'N,…,DRIVE,…,bad-argument');
}

/** Without a beat the device stops by itself when the lease ends: not much before, and soon after. */
async function checkLease(rig: RigConversation, lease_ms: number): Promise<RigCheck> {
  const wanted = `lease-lost after ${lease_ms} ms of silence`;
  const begun_ms = rig.said.at(-1)!.at_ms;
  const stop = await rig.waitFor(isStop, lease_ms + LATE_MS);
  if (stop?.frame.type !== 'event')
    return judged(
      'drive-lease',
      false,
      `nothing within ${lease_ms + LATE_MS} ms: the drive still turns`,
      wanted,
    );
  const after_ms = stop.at_ms - begun_ms;
  return judged(
    'drive-lease',
    stop.frame.event === 'lease-lost' && after_ms >= lease_ms - EARLY_MS,
    `${textOf(stop)} after ${after_ms.toFixed(0)} ms`,
    wanted,
  );
}
