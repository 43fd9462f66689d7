import type { RefusalCode, RefusalFrame, ReplyFrame } from '../../firmware-protocol/index.js';
import { DaqError } from '../daq-error.js';

const WANTED: Partial<Record<RefusalCode, string>> = {
  tripped: 'a drive that is armed; look at the rig first, then re-arm it there',
  busy: 'a rig that is not sampling',
  'no-drive': 'a rig with a drive',
};

/**
 * @param answer what the device said to a command
 * @param allowed the one refusal that is as good as done
 * @throws DaqError 'command-refused'
 */
export function expectDone(answer: ReplyFrame | RefusalFrame, where: string, allowed?: RefusalCode): void {
  if (answer.type === 'reply' || answer.code === allowed) return;
  throw new DaqError('command-refused', {
    where,
    found: `'${answer.command}' refused as '${answer.code}'`,
    wanted: WANTED[answer.code] ?? 'a rig that can do this',
  });
}
