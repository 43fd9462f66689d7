import { analyzeRecording, type Finding, type FindingCode, type Trace } from '../../analysis/index.js';
import { type FaultKind, faultKinds, playFaulty } from '../analysis/played/faults.js';
import { playSound } from '../analysis/played/scene.js';
import type { Figures } from './benchmark.js';

export const name = 'findings';
export const what =
  'false alarms on sound recordings and misses on faulty ones; FINDING_RECORDINGS of each, 10 where it is not set';

/** Notes on what the rig left open; they accuse nothing and are no false alarms. */
const notes: readonly string[] = ['lag-unresolved', 'kernel-chosen'];

export interface FaultRate {
  readonly name: string;
  readonly code: FindingCode;
  readonly recordings: number;
  readonly missed: number;
  /** Missed among those of small, middle and large size, thirds of the recordings each. */
  readonly missedByThird: readonly [number, number, number];
  readonly thirds: readonly [number, number];
  /** Other codes told, warnings only. */
  readonly beside: Readonly<Record<string, number>>;
  /** Relative errors of the finding's own value: median and nine in ten; NaN where it has none. */
  readonly errorHalf: number;
  readonly errorNine: number;
  readonly refused: number;
}

export interface FindingRates {
  readonly sound: { readonly recordings: number; readonly codes: Readonly<Record<string, number>> };
  readonly faults: readonly FaultRate[];
}

/**
 * Plays sound and faulty recordings and counts what the analysis says of them.
 * @param recordings sound ones, and faulty ones of each kind
 * @param print told each kind's line as it is done
 */
export function measureFindingRates(
  recordings: number,
  print: (line: string) => void = () => {},
): FindingRates {
  const codes: Record<string, number> = {};
  for (let k = 0; k < recordings; k++)
    for (const { code } of findings(playSound(1_000_000 + k).trace) ?? [])
      codes[code] = (codes[code] ?? 0) + 1;
  print(`sound: ${recordings} recordings, told ${listed(codes)}`);
  const faults = faultKinds.map((kind, j) => {
    const rate = rateOf(kind, recordings, 1_000_000 * (j + 2));
    print(lineOf(rate, kind.sizeName));
    return rate;
  });
  return { sound: { recordings, codes }, faults };
}

function rateOf(kind: FaultKind, recordings: number, seed: number): FaultRate {
  const sizes: { size: number; missed: boolean }[] = [];
  const beside: Record<string, number> = {};
  const errors: number[] = [];
  let refused = 0;
  for (let k = 0; k < recordings; k++) {
    const { played, size, truth } = playFaulty(kind, seed + k);
    const found = findings(played.trace);
    if (!found) {
      refused++;
      continue;
    }
    const own = found.find(({ code }) => code === kind.code);
    sizes.push({ size, missed: !own });
    for (const { code } of found)
      if (code !== kind.code && !notes.includes(code)) beside[code] = (beside[code] ?? 0) + 1;
    for (const [key, value] of Object.entries(truth ?? {}))
      if (own) errors.push(Math.abs((own.values[key] as number) / value - 1));
  }
  sizes.sort((a, b) => a.size - b.size);
  const third = (j: number) => Math.round((j * sizes.length) / 3);
  const missedIn = (from: number, to: number) => sizes.slice(from, to).filter(({ missed }) => missed).length;
  errors.sort((a, b) => a - b);
  return {
    name: kind.name ?? kind.code,
    code: kind.code,
    recordings: sizes.length,
    missed: missedIn(0, sizes.length),
    missedByThird: [missedIn(0, third(1)), missedIn(third(1), third(2)), missedIn(third(2), sizes.length)],
    thirds: [sizes[third(1)]?.size ?? Number.NaN, sizes[third(2)]?.size ?? Number.NaN],
    beside,
    errorHalf: errors[Math.floor(0.5 * errors.length)] ?? Number.NaN,
    errorNine: errors[Math.floor(0.9 * errors.length)] ?? Number.NaN,
    refused,
  };
}

/** What is told of a recording, null where it is refused. */
function findings(trace: Trace): readonly Finding[] | null {
  const outcome = analyzeRecording(trace);
  return outcome.ok ? outcome.analysis.findings : null;
}

function lineOf(rate: FaultRate, sizeName: string): string {
  const { missed, recordings, missedByThird, thirds, refused, beside, errorHalf, errorNine } = rate;
  const [small, middle, large] = missedByThird;
  const accuracy = Number.isNaN(errorHalf)
    ? ''
    : `; value off by ${percent(errorHalf)} (half), ${percent(errorNine)} (nine in ten)`;
  return (
    `${rate.name}: missed ${missed} of ${recordings} (${small} + ${middle} + ${large} by thirds of ${sizeName}, ` +
    `cut at ${thirds.map((size) => size.toPrecision(2)).join(' and ')})${accuracy}; told beside it ${listed(beside)}` +
    `${refused > 0 ? `; refused ${refused}` : ''}`
  );
}

const percent = (share: number) => `${(100 * share).toPrecision(2)} %`;
const listed = (codes: Readonly<Record<string, number>>) =>
  Object.entries(codes)
    .map(([code, count]) => `${code} ${count}`)
    .join(', ') || 'nothing';

export function run(print: (line: string) => void): Figures {
  const { sound, faults } = measureFindingRates(Number(process.env.FINDING_RECORDINGS ?? 10), print);
  const figures: Record<string, number | string> = {};
  for (const [code, count] of Object.entries(sound.codes))
    figures[`sound_${code}_percent`] = (100 * count) / sound.recordings;
  for (const { name: kind, missed, recordings } of faults)
    figures[`missed_${kind}_percent`] = (100 * missed) / recordings;
  return figures;
}
