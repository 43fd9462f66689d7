import { createInterface, type Interface } from 'node:readline/promises';
import type { GuidedStep, Operator } from '../../daq/index.js';
import { playedOwner, type SimulatedRig } from '../../daq/simulated-rig/index.js';
import { stepSentence } from '../wording/index.js';
import { badInput } from './failure.js';
import { progressLine, style, wrap } from './terminal.js';

/**
 * Runs a guided procedure with the person at the terminal, or with the owner of the simulated rig.
 * @param cautions shown first; on a terminal they wait until they have been read
 * @throws CommandFailure without a terminal; the signal's reason when it aborts
 */
export async function guided<T>(
  played: SimulatedRig | null,
  cautions: readonly string[],
  signal: AbortSignal,
  run: (operator: Operator) => Promise<T>,
): Promise<T> {
  process.stderr.write(`${cautions.map((text) => wrap(`▲ ${text}`, 78, '  ')).join('\n')}\n`);
  if (played) return run(playedOwner(played));
  if (!process.stdin.isTTY || !process.stderr.isTTY)
    throw badInput(
      'no terminal to lead through the steps on',
      'a terminal, or a file with readings that were taken already (see --help)',
    );
  const terminal = createInterface({ input: process.stdin, output: process.stderr, terminal: false });
  const progress = progressLine();
  try {
    await terminal.question('Press Enter when you have read this, Ctrl-C to leave. ', { signal });
    return await run(personAt(terminal, signal, progress));
  } finally {
    progress.clear();
    terminal.close();
  }
}

function personAt(
  terminal: Interface,
  signal: AbortSignal,
  progress: ReturnType<typeof progressLine>,
): Operator {
  const ask = (text: string) => terminal.question(`${text} `, { signal });
  const tell = (step: GuidedStep) => wrap(style('bold', stepSentence(step)), 78, '  ');
  return {
    async ready(step) {
      await ask(`${tell(step)}\nEnter when it hangs still or stands:`);
    },
    async measured(step) {
      for (;;) {
        const answer = await ask(`${tell(step)}\nPosition in mm:`);
        const position_mm = Number(answer.replace(',', '.'));
        if (answer.trim() !== '' && Number.isFinite(position_mm)) return position_mm / 1000;
        process.stderr.write(`'${answer}' is no number; wanted millimetres, such as 12.4.\n`);
      }
    },
    progress: (_step, counts) => progress.show(`waiting until it is steady: ${counts.toFixed(0)} counts`),
    reading(_step, { counts, samples }) {
      progress.clear();
      process.stderr.write(`  read: ${counts.toFixed(1)} counts, mean of ${samples}\n`);
    },
  };
}
