import { createInterface } from 'node:readline/promises';
import { style, wrap } from './terminal.js';

const cautions = [
  'Keep fingers, hair and sleeves away: crank and shock pinch, and the drive starts by itself.',
  'Wear eye protection: a cap, a clip or oil can come off.',
  'Have a hard-wired switch within reach that cuts the power of the drive. This program is not a safety device: stopping it, or its cable, is no substitute.',
];

/**
 * Shows what can hurt before a drive moves; on a terminal it waits until that has been read.
 * @returns when the signal came first, as well
 */
export async function showCautions(signal: AbortSignal): Promise<void> {
  const lines = cautions.map((text) => wrap(`▲ ${text}`, 78, '  '));
  process.stderr.write(`${style('bold', 'The drive is about to move.')}\n${lines.join('\n')}\n`);
  if (!process.stdin.isTTY || !process.stderr.isTTY) return;
  const terminal = createInterface({ input: process.stdin, output: process.stderr, terminal: false });
  try {
    await terminal.question('Press Enter to start, Ctrl-C to leave. ', { signal });
  } catch (error) {
    if (!signal.aborted) throw error;
  } finally {
    terminal.close();
  }
}
