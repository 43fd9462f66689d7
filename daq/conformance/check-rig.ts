import type { RigIdentity } from '../link/rig-identity.js';
import { checkCommands } from './command-checks.js';
import { checkDrive, leaveDrive } from './drive-checks.js';
import { checkLines } from './line-checks.js';
import { checkAnswers, checkBanner, checkChannels, checkIdentity } from './opening-checks.js';
import { RIG_CHECKS, type RigCheck, unseen } from './rig-check.js';
import { openConversation, type RigConversation, type RigConversationOptions } from './rig-conversation.js';
import { checkSampling } from './sampling-checks.js';

export interface CheckRigOptions extends RigConversationOptions {
  /**
   * Whether the drive may be turned, at its slowest, until its lease runs out. Whoever says so stands beside the rig,
   * with a hard-wired stop within reach. Left out, no `DRIVE` is sent, even to a rig that says it has none.
   */
  readonly drive?: boolean;
}

export interface RigCheckReport {
  /** What the device says it is, null where it does not say so as a whole. */
  readonly identity: RigIdentity | null;
  /** One for each of `RIG_CHECKS`, in their order. */
  readonly checks: readonly RigCheck[];
}

/**
 * Holds a device against PROTOCOL.md, in about 8 s of its time: who it is, what it answers and refuses, what its samples
 * are like and, when asked for, whether its drive stops by itself. A drive that was turned is left tripped: someone must
 * re-arm it at the rig.
 * @throws DaqError 'port-…' where the port cannot be opened or closes; the signal's reason when it is aborted
 * @remarks what a device gets wrong is never thrown. A drive is halted whatever happens; that is no substitute for the
 *   switch that cuts its power
 */
export async function checkRig(options: CheckRigOptions): Promise<RigCheckReport> {
  const rig = await openConversation(options);
  try {
    const report = await runChecks(rig, options.drive ?? false);
    return { ...report, checks: inOrder([...report.checks, ...checkLines(rig.heard, rig.said)]) };
  } finally {
    bringToRest(rig);
    await rig.close();
  }
}

async function runChecks(rig: RigConversation, mayDrive: boolean): Promise<RigCheckReport> {
  const checks: RigCheck[] = [await checkAnswers(rig)];
  if (checks[0]!.outcome === 'failed') return { identity: null, checks };
  // Whatever a program before this one left running.
  await rig.ask({ type: 'halt' });
  await rig.ask({ type: 'stop' });

  const { check, identity } = await checkIdentity(rig);
  checks.push(check);
  if (identity !== null) {
    checks.push(checkChannels(identity));
    if (identity.channels.length > 0) {
      checks.push(...(await checkCommands(rig, identity)));
      checks.push(...(await checkSampling(rig, identity)));
      checks.push(...(mayDrive ? await checkDrive(rig, identity.drive) : leaveDrive()));
    }
  }
  checks.push(checkBanner(rig.heard));
  return { identity, checks };
}

/** What could not be looked at is in the report too. */
function inOrder(checks: readonly RigCheck[]): RigCheck[] {
  return RIG_CHECKS.map(
    (code) =>
      checks.find((check) => check.code === code) ??
      unseen(code, 'not looked at', 'a device that passes the checks before'),
  );
}

function bringToRest(rig: RigConversation): void {
  rig.tell({ type: 'halt' });
  rig.tell({ type: 'stop' });
}
