import { differenceRows } from '../../wording/index.js';
import { Swatch } from '../identity/swatch.js';
import { IntervalMark } from '../pieces/interval-mark.js';
import { Verdict } from '../pieces/verdict.js';
import { narrow } from '../theme.js';
import { units } from '../units.js';
import { differenceShares } from './difference-shares.js';
import type { ShownComparison } from './pictured.js';

/** One comparison in numbers, each with its interval, then the verdict and what could have been resolved. */
export function Differences({ shown }: { readonly shown: ShownComparison }) {
  const { before, after } = shown;
  return (
    <section class="differences">
      <h2>
        <span>
          <Swatch identity={after.identity} /> {after.build.name}
        </span>{' '}
        against{' '}
        <span>
          <Swatch identity={before.identity} /> {before.build.name}
        </span>
      </h2>
      {narrow.value ? <DifferenceList shown={shown} /> : <DifferenceTable shown={shown} />}
    </section>
  );
}

function DifferenceTable({ shown: { before, after, comparison } }: { readonly shown: ShownComparison }) {
  const rows = differenceRows(comparison, units.value);
  const { shares, reach } = differenceShares(comparison);
  const ends = Math.round(reach * 100);
  return (
    <table>
      <thead>
        <tr>
          <th scope="col">Quantity</th>
          <th scope="col" class="number">
            {before.build.name}
          </th>
          <th scope="col" class="number">
            {after.build.name}
          </th>
          <th scope="col" class="number">
            Difference
          </th>
          <th scope="col" class="mark">
            <span class="unseen">
              Difference as a share of the reference, drawn from minus to plus {ends} %
            </span>
            <span aria-hidden="true" class="scale">
              <span>−{ends} %</span>
              <span>0</span>
              <span>+{ends} %</span>
            </span>
          </th>
          <th scope="col">Verdict</th>
          <th scope="col" class="number">
            Resolvable
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row, index) => (
          <tr key={row.quantity} data-quantity={row.quantity}>
            <th scope="row">
              {row.label}
              <span class="unit">, {row.unit}</span>
            </th>
            <td class="number">{row.before}</td>
            <td class="number">{row.after}</td>
            <td class="number strong">{row.difference}</td>
            <td class="mark">{shares[index] && <IntervalMark estimate={shares[index]} reach={reach} />}</td>
            <td>
              <Verdict verdict={comparison.differences[index]!.verdict} />
            </td>
            <td class="number">{row.resolvable}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The same for a narrow screen: a quantity to an entry. */
function DifferenceList({ shown: { comparison } }: { readonly shown: ShownComparison }) {
  return (
    <ul>
      {differenceRows(comparison, units.value).map((row, index) => (
        <li key={row.quantity} data-quantity={row.quantity}>
          <span class="label">{row.label}</span>
          <span class="number strong">
            {row.difference} {row.unit}
          </span>
          <Verdict verdict={comparison.differences[index]!.verdict} />
          <small class="number">
            {row.before} → {row.after}
          </small>
        </li>
      ))}
    </ul>
  );
}
