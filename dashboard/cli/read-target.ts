import type { RecordingAnalysis, TypedPoint } from '../../analysis/index.js';
import type { Target } from '../answers/index.js';
import { badInput } from './failure.js';
import { parseArgument } from './source.js';

/** What a TARGET argument names: a curve as it is, or recordings that have yet to be analysed. */
export type TargetSource =
  | Extract<Target, { kind: 'curve' }>
  | { readonly kind: 'recordings'; readonly file: string };

/** For the help of commands with a target. */
export const targetHelp =
  'a recording, build:NAME, a CSV curve (velocity_mm_per_s,force_N) or points:SPEED=FORCE,… in mm/s and N';

/**
 * Reads a TARGET argument.
 * @param option its name, for messages
 * @param temperature_degC what the person says about a curve that does not say it itself
 */
export async function readTarget(
  text: string,
  option: string,
  temperature_degC: number | undefined,
): Promise<TargetSource> {
  if (text.startsWith('points:'))
    return { kind: 'curve', points: typedPoints(text, option), temperature_degC: temperature_degC ?? null };
  const argument = parseArgument(text);
  const { isTargetCsv, readTargetCsv } = await import('../../daq/index.js');
  if (argument.kind !== 'file' || !(await isTargetCsv(argument.path))) {
    if (temperature_degC !== undefined)
      throw badInput(
        `a temperature for ${option} ${text}, which is a recording`,
        'one for a curve only: recordings have their own',
      );
    return { kind: 'recordings', file: text };
  }
  const { target } = await readTargetCsv(argument.path);
  const { velocity_m_per_s, force_N } = target;
  return {
    kind: 'curve',
    points: Array.from(velocity_m_per_s, (v, i) => ({ velocity_m_per_s: v, force_N: force_N[i]! })),
    temperature_degC: temperature_degC ?? target.temperature_degC,
  };
}

/** The target with its recordings analysed. */
export const analysedTarget = (
  source: TargetSource,
  analyses: readonly RecordingAnalysis[] | undefined,
): Target => (source.kind === 'curve' ? source : { kind: 'recordings', analyses: analyses! });

/** FILE arguments that a target asks to be analysed. */
export const filesOfTarget = (source: TargetSource): string[] =>
  source.kind === 'recordings' ? [source.file] : [];

function typedPoints(text: string, option: string): TypedPoint[] {
  const pairs = text.slice('points:'.length).split(/[;,](?=[-+]?\d+(?:[.,]\d+)?=)/);
  return pairs.map((pair) => {
    const [, speed, force] = /^([-+]?\d+(?:[.,]\d+)?)=([-+]?\d+(?:[.,]\d+)?)$/.exec(pair.trim()) ?? [];
    if (speed === undefined || force === undefined)
      throw badInput(`'${pair}' in ${option}`, 'SPEED=FORCE in mm/s and N, such as points:100=2.5,-100=-2.4');
    return { velocity_m_per_s: number(speed) / 1e3, force_N: number(force) };
  });
}

const number = (text: string): number => Number(text.replace(',', '.'));
