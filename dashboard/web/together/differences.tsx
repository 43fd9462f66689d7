import type { Difference, Estimate } from '../../../analysis/index.js';
import { differenceRows } from '../../wording/index.js';
import { Swatch } from '../identity/swatch.js';
import { IntervalMark } from '../pieces/interval-mark.js';
import { Verdict } from '../pieces/verdict.js';
import type { ShownComparison } from './pictured.js';

/** One comparison as a table: every number with its interval, then the verdict and what could have been seen. */
export function Differences({ shown }: { readonly shown: ShownComparison }) {
  const { before, after, comparison } = shown;
  const rows = differenceRows(comparison);
  const shares = comparison.differences.map(shareOfReference);
  const reach = reachOf(shares);
  const ends = Math.round(reach * 100);
  return (
    <table class="differences">
      <caption>
        <span>
          <Swatch identity={after.identity} /> {after.build.name}
        </span>{' '}
        against{' '}
        <span>
          <Swatch identity={before.identity} /> {before.build.name}
        </span>
      </caption>
      <thead>
        <tr>
          <th scope="col">Quantity</th>
          <th scope="col" class="number wide">
            {before.build.name}
          </th>
          <th scope="col" class="number wide">
            {after.build.name}
          </th>
          <th scope="col" class="number">
            Difference
          </th>
          <th scope="col" class="wide mark">
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
          <th scope="col" class="number wide">
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
              <small class="narrow">
                {row.before} → {row.after}
              </small>
            </th>
            <td class="number wide">{row.before}</td>
            <td class="number wide">{row.after}</td>
            <td class="number strong">{row.difference}</td>
            <td class="wide mark">
              {shares[index] && <IntervalMark estimate={shares[index]} reach={reach} />}
            </td>
            <td>
              <Verdict verdict={comparison.differences[index]!.verdict} />
            </td>
            <td class="number wide">{row.resolvable}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Null where the reference could be zero: a share of nothing says nothing. */
function shareOfReference({ before, difference }: Difference): Estimate | null {
  if (!(before.low95 > 0)) return null;
  const { value, standardError, low95, high95 } = difference;
  const whole = before.value;
  return {
    value: value / whole,
    standardError: standardError / whole,
    low95: low95 / whole,
    high95: high95 / whole,
  };
}

const scales = [0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 1];

/** The smallest round scale that shows every interval; what goes beyond the whole of the reference is cut there. */
function reachOf(shares: readonly (Estimate | null)[]): number {
  const widest = Math.max(0, ...shares.flatMap((share) => (share ? [-share.low95, share.high95] : [])));
  return scales.find((scale) => scale >= widest) ?? 1;
}
