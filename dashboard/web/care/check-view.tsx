import type { CareRig } from '../../server/api.js';
import { careWords, checkRows, checkSentence } from '../../wording/index.js';
import { RowsTable } from '../pieces/rows-table.js';
import { units } from '../units.js';
import { ControlChart } from './control-chart.js';
import { LearnRemounts } from './learn-remounts.js';
import { Procedure } from './procedure.js';

/** Is the rig as it was? The check standard's verdict, its charts, its numbers. */
export function CheckView({ rig }: { readonly rig: CareRig | null }) {
  const check = rig?.check ?? null;
  const answer = check?.answer ?? null;
  return (
    <>
      <h1>
        {answer
          ? checkSentence(answer)
          : check
            ? `“${check.standard}” has not been measured yet.`
            : careWords.check.unknown}
      </h1>
      {answer && (
        <>
          {answer.quantities.map((checked) => (
            <figure key={checked.quantity} class="care-figure">
              <ControlChart checked={checked} />
            </figure>
          ))}
          <p class="note">
            Between the limits is what this rig does by itself, from its first ten sittings; the moving
            average sees a slow drift that no single sitting shows.
          </p>
          <RowsTable
            caption={`What “${check!.standard}” gave`}
            rows={checkRows(answer, units.value)}
            columns={[
              { heading: 'Quantity', cell: (row) => row.quantity },
              { heading: 'Sittings', isNumber: true, cell: (row) => row.sittings },
              { heading: 'Now', isNumber: true, cell: (row) => row.newest },
              { heading: 'Limits', isNumber: true, cell: (row) => row.limits },
              { heading: 'Moving average', isNumber: true, cell: (row) => row.average },
              { heading: 'Its limits', isNumber: true, cell: (row) => row.averageLimits },
              { heading: 'Verdict', cell: (row) => row.verdict },
            ]}
          />
        </>
      )}
      <Procedure what="check" rig={rig} />
      {rig && <LearnRemounts rig={rig} />}
    </>
  );
}
