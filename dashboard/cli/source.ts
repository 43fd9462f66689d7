import type { ProcedureName } from '../../analysis/index.js';

/** A version of a rig's calibration, or its newest. */
export type CalibrationVersion = number | 'latest';

/** One recording to read: a CSV file, or a recording kept in a logbook. `label` is how outputs call it. */
export type Source = (
  | { readonly kind: 'file'; readonly label: string; readonly path: string }
  | {
      readonly kind: 'recording';
      readonly label: string;
      readonly logbook: string;
      readonly id: number;
      /** Its own where it is left out. */
      readonly calibration?: CalibrationVersion;
    }
) & {
  /** How the shock was moved, where that is stated; otherwise as recorded. */
  readonly procedure?: ProcedureName;
};

/** What a FILE argument names. */
export type Argument =
  | { readonly kind: 'file'; readonly path: string }
  | { readonly kind: 'build'; readonly name: string }
  | { readonly kind: 'recording'; readonly id: number };

/** Reads a FILE argument: `build:NAME`, `recording:ID`, or a path (`./build:x.csv` for a file of such a name). */
export function parseArgument(text: string): Argument {
  const [, scheme, rest] = /^(build|recording):(.+)$/s.exec(text) ?? [];
  if (scheme === 'build') return { kind: 'build', name: rest! };
  if (scheme === 'recording' && /^\d+$/.test(rest!)) return { kind: 'recording', id: Number(rest) };
  return { kind: 'file', path: text };
}
