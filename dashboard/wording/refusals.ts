import type { AnalysisRefusal } from '../../analysis/index.js';

const openings: Readonly<Record<AnalysisRefusal['code'], string>> = {
  'no-force': 'There is no force to analyse',
  'no-position': 'There is no position to analyse',
  'too-short': 'The recording is too short to analyse',
  'no-motion': 'The shock does not move in this recording',
  'not-finite': 'A sample is not a number',
  'time-not-increasing': 'Time does not run forward',
  'constant-force': 'The force never changes, so the cell is not connected or not in the path',
  'out-of-range': 'A number is none that a shock on a rig gives',
  'no-overlap': 'Force and position were not recorded at the same time',
  'all-saturated': 'The cell was at the end of its range all the time',
  'too-long': 'The recording is too long to analyse in one piece',
  singular: 'The motion cannot tell the parts of the force from each other',
};

/** Why a recording was not analysed, in one line: what was found and what is wanted. */
export function refusalSentence(refusal: AnalysisRefusal): string {
  return `${openings[refusal.code]}: found ${refusal.found}; wanted ${refusal.wanted}.`;
}

const reasons: readonly (readonly [RegExp, string])[] = [
  [
    /^friction\.(compression|rebound)_N$/,
    'Drag per direction is not known: sliding strokes alone cannot tell it from a constant offset of the cell. A procedure of decaying strokes can.',
  ],
  [
    /^friction\.breakaway_N$/,
    'Breakaway is not known: no stroke is slow enough to show the force at which motion starts. Add a slow sweep.',
  ],
  [
    /^friction\.mean_N$/,
    'Drag is not known: the strokes do not reverse often enough to show it. Record full strokes both ways.',
  ],
  [
    /^damping\.(compression|rebound)\.(linear|quadratic)_/,
    'Damping is not known: all strokes have about the same speed. Record at speeds that differ by more than a factor of three.',
  ],
  [
    /^damping/,
    'Damping is not known: the speeds in this recording do not support it. Record a speed ladder.',
  ],
  [
    /^gas/,
    'Trapped gas is not known: the stroke is too short to show how force rises with position. Record a travel sweep.',
  ],
  [
    /^rig\.(lag_ms|movingMass_kg)$/,
    'Lag and moving mass are not known apart: do a lag check with a spring in place of the shock.',
  ],
];

/**
 * Why estimates are missing, each reason once.
 * @param paths `notIdentified` of an analysis
 * @returns sentences in the order in which their first path appears; a path without a reason is named
 */
export function notIdentifiedSentences(paths: readonly string[]): string[] {
  const sentences = paths.map(
    (path) =>
      reasons.find(([pattern]) => pattern.test(path))?.[1] ?? `This recording does not support ${path}.`,
  );
  return [...new Set(sentences)];
}
