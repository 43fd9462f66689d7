import { DaqError } from '../daq-error.js';
import { DEFAULT_BAUD, type OpenPort } from '../ports/open-port.js';
import type { RigIdentity } from './rig-identity.js';

/** Tried in this order: ours, then what hobby boards are set to most. Common practice, no source. */
const BAUD_RATES = [DEFAULT_BAUD, 115_200, 500_000, 1_000_000, 57_600, 9_600];

/**
 * Identifies a rig at a given baud rate, or at the first of the usual ones at which it can be read.
 * @param given no other is tried then
 * @param onBaudRate told before each try, where others are tried
 * @throws DaqError what identifying throws; 'rig-unreadable' naming all that were tried. Only bytes that cannot be read
 *   are a reason to try another: silence, or another program's text, have other causes.
 */
export async function findBaudRate(
  port: OpenPort,
  given: number | undefined,
  onBaudRate: ((baudRate: number) => void) | undefined,
  identify: () => Promise<RigIdentity>,
): Promise<{ identity: RigIdentity; baudRate: number }> {
  if (given !== undefined) return { identity: await identify(), baudRate: given };
  for (const [tries, baudRate] of BAUD_RATES.entries()) {
    onBaudRate?.(baudRate);
    if (tries > 0) await setBaudRate(port, baudRate);
    try {
      return { identity: await identify(), baudRate };
    } catch (error) {
      // Silence after noise is another wrong rate: the rig cannot read the question.
      const isNoise = tries > 0 ? ['rig-unreadable', 'rig-silent'] : ['rig-unreadable'];
      if (!(error instanceof DaqError && isNoise.includes(error.code))) throw error;
    }
  }
  throw new DaqError('rig-unreadable', {
    where: port.path,
    found: `nothing that can be read at ${BAUD_RATES.join(', ')} baud`,
    wanted: "a rig; is another program's firmware on it, or does it use a baud rate of its own (--baud)?",
  });
}

function setBaudRate(port: OpenPort, baudRate: number): Promise<void> {
  return new Promise((resolve, reject) =>
    port.update({ baudRate }, (error) => (error ? reject(error) : resolve())),
  );
}
