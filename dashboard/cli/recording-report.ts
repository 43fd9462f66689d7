import {
  type CurvePoint,
  type Estimate,
  type KnownSpread,
  type RecordingAnalysis,
  scaleEstimate,
} from '../../analysis/index.js';
import { acrossRemounts, standingStarts } from '../answers/index.js';
import {
  acrossSentence,
  displayScale,
  findingSentence,
  formatNumber,
  notIdentifiedSentences,
  plusMinus,
  pointNearest,
  recordingSentence,
  standingSentence,
} from '../wording/index.js';
import { table } from './table.js';
import { style, wrap } from './terminal.js';

interface Row {
  readonly quantity: string;
  readonly value: string;
  readonly unit: string;
}

/** One recording for a person: the sentence, the numbers, what was noticed, what could not be told. */
export function recordingReport(label: string, analysis: RecordingAnalysis, known?: KnownSpread): string {
  const standing = analysis.sweep ? standingSentence(standingStarts(analysis.sweep)) : null;
  const across = acrossSentence(acrossRemounts(analysis, known));
  const noticed = analysis.findings.map((finding) =>
    finding.severity === 'warning'
      ? style('yellow', wrap(`▲ Warning: ${findingSentence(finding)}`, undefined, '  '))
      : wrap(`· Note: ${findingSentence(finding)}`, undefined, '  '),
  );
  const missing = notIdentifiedSentences(analysis.notIdentified).map((sentence) =>
    wrap(`· ${sentence}`, undefined, '  '),
  );
  const parts = [
    `${style('bold', label)}\n${wrap(recordingSentence(analysis))}`,
    table(
      [
        { heading: 'Quantity', align: 'left', cell: (row) => row.quantity },
        { heading: 'Value (± 95 %)', align: 'right', cell: (row) => row.value },
        { heading: 'Unit', align: 'left', cell: (row) => row.unit },
      ],
      rowsOf(analysis),
    ),
    standing === null ? '' : wrap(standing),
    across === null ? '' : wrap(across),
    [...noticed, ...missing].join('\n'),
  ];
  return `${parts.filter((part) => part !== '').join('\n\n')}\n`;
}

function rowsOf({ friction, damping, gas, rig }: RecordingAnalysis): Row[] {
  const force = displayScale('force').unit;
  const estimates: readonly (readonly [string, Estimate | null, string])[] = [
    ['Drag', friction.mean_N, force],
    ['Drag in compression', friction.compression_N, force],
    ['Drag in rebound', friction.rebound_N, force],
    ['Breakaway', friction.breakaway_N, force],
    ['Trapped gas, offset', gas.offset_N, force],
    ['Trapped gas, rate', gas.rate_N_per_mm && scaleEstimate(gas.rate_N_per_mm, 1), 'N/mm'],
    ['Lag beyond the filter', rig.lag_ms, 'ms'],
    ['Moving mass', rig.movingMass_kg && scaleEstimate(rig.movingMass_kg, 1000), 'g'],
  ];
  const [drags, rest] = [estimates.slice(0, 4), estimates.slice(4)];
  return [...drags.map(estimateRow), ...dampingRows(damping.curve), ...rest.map(estimateRow)];
}

function estimateRow([quantity, estimate, unit]: readonly [string, Estimate | null, string]): Row {
  return estimate
    ? { quantity, value: plusMinus(estimate, ''), unit }
    : { quantity, value: 'not known', unit: '' };
}

/** Speeds quoted in the table; a force at a speed says more than a coefficient. */
const SPEEDS_M_PER_S = [0.05, 0.1, 0.2];

function dampingRows(curve: readonly CurvePoint[]): Row[] {
  const sides = [
    ['compression', 1],
    ['rebound', -1],
  ] as const;
  return sides.flatMap(([direction, sign]) => {
    const points = SPEEDS_M_PER_S.map((speed) => pointNearest(curve, sign * speed)).filter((p) => p !== null);
    return [...new Set(points)].map((point) => dampingRow(direction, point));
  });
}

function dampingRow(direction: string, point: CurvePoint): Row {
  const sign = Math.sign(point.velocity_m_per_s);
  const velocity = displayScale('velocity');
  const speed = `${formatNumber(Math.abs(point.velocity_m_per_s) * velocity.factor, 3)} ${velocity.unit}`;
  const ends = [point.low95_N * sign, point.high95_N * sign];
  const magnitude: Estimate = {
    value: point.force_N * sign,
    standardError: 0,
    low95: Math.min(...ends),
    high95: Math.max(...ends),
  };
  return {
    quantity: `Damping in ${direction} at ${speed}`,
    value: plusMinus(magnitude, ''),
    unit: displayScale('force').unit,
  };
}
