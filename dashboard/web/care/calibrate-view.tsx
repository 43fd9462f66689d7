import type { ApiFoundPart, CareRig } from '../../server/api.js';
import {
  careWords,
  crankSentence,
  forceRows,
  forceSentence,
  formatNumber,
  lagRows,
  lagSentence,
  lengthSentence,
  movingMassSentence,
} from '../../wording/index.js';
import { address, type CalibratedPart, calibratedParts } from '../address.js';
import { PlaceLink } from '../pieces/place-link.js';
import { RowsTable } from '../pieces/rows-table.js';
import { shortTime } from '../pieces/times.js';
import { type Evidence, evidenceOf } from './evidence.js';
import { fitOf } from './fit-of.js';
import { FitPicture } from './fit-picture.js';
import { Procedure } from './procedure.js';

/** What a rig's counts mean: one part at a time, with the readings it was found from. */
export function CalibrateView({ rig }: { readonly rig: CareRig | null }) {
  const { part } = address.value;
  const found = rig?.parts.find((candidate) => isOf(part, candidate)) ?? null;
  const evidence = found && evidenceOf(found);
  return (
    <>
      <nav aria-label="Parts of a calibration" class="parts-of-calibration">
        <ul>
          {calibratedParts.map((name) => (
            <li key={name}>
              <PlaceLink to={{ part: name }} current={name === part}>
                {careWords[name].title}
              </PlaceLink>
            </li>
          ))}
        </ul>
      </nav>
      <h1>{found ? sentenceOf(found, evidence) : careWords[part].unknown}</h1>
      {evidence && <Shown evidence={evidence} />}
      {found && (
        <p class="note">
          Found {shortTime(found.createdAt)}
          {found.note && `: ${found.note}`}.
        </p>
      )}
      <Procedure what={part} rig={rig} />
    </>
  );
}

/** What was found, as the page shows it before it is entered and after. */
export function Shown({ evidence }: { readonly evidence: Evidence }) {
  const fit = fitOf(evidence);
  const rows = rowsOf(evidence);
  return (
    <>
      {fit && <FitPicture fit={fit} />}
      {rows.length > 0 && (
        <RowsTable
          caption="How well it is known"
          rows={rows}
          columns={[
            { heading: 'Quantity', cell: (row) => row.quantity },
            { heading: 'Value (± 95 %)', isNumber: true, cell: (row) => row.value },
            { heading: 'Unit', cell: (row) => row.unit },
          ]}
        />
      )}
    </>
  );
}

function isOf(part: CalibratedPart, { part: name, value }: ApiFoundPart): boolean {
  if (part === 'mass') return name === 'movingMass';
  if (part === 'angle') return name === 'position' && 'crank' in value;
  return name === part && !('crank' in value);
}

export function sentenceOf(found: Pick<ApiFoundPart, 'part' | 'value'>, evidence: Evidence | null): string {
  switch (evidence?.kind) {
    case 'force':
      return forceSentence(evidence.calibration);
    case 'position':
      return lengthSentence(evidence.calibration);
    case 'crank':
      return crankSentence(evidence.calibration);
    case 'lag':
      return lagSentence(evidence.check);
    case 'mass':
      return movingMassSentence(evidence.run);
    default:
      return `Known from elsewhere: ${Object.entries(found.value)
        .map(([key, value]) => `${key} ${typeof value === 'number' ? formatNumber(value, 5) : ''}`)
        .join(', ')}.`;
  }
}

function rowsOf(evidence: Evidence) {
  if (evidence.kind === 'force') return forceRows(evidence.calibration, evidence.drift);
  if (evidence.kind === 'lag') return lagRows(evidence.check);
  if (evidence.kind !== 'position') return [];
  const { standardUncertainty, backlash_m } = evidence.calibration;
  const mm = (quantity: string, value_m: number | null) => ({
    quantity,
    value: value_m === null ? 'not measured' : formatNumber(1000 * value_m, 2),
    unit: value_m === null ? '' : 'mm',
  });
  return [mm('Scatter of a single position', standardUncertainty), mm('Play between in and out', backlash_m)];
}
