import type { ComponentChildren } from 'preact';
import { narrow } from '../theme.js';

export interface RowsColumn<Row> {
  readonly heading: string;
  readonly isNumber?: boolean;
  readonly cell: (row: Row) => ComponentChildren;
}

/** Rows of ready cells: a table where there is room, on a phone an entry a row with its headings inside. */
export function RowsTable<Row>(props: {
  readonly caption: string;
  readonly rows: readonly Row[];
  /** The first names the row. */
  readonly columns: readonly [RowsColumn<Row>, ...RowsColumn<Row>[]];
}) {
  const { caption, rows, columns } = props;
  const [naming, ...others] = columns;
  if (narrow.value)
    return (
      <div class="rows">
        <h2>{caption}</h2>
        <ul>
          {rows.map((row, index) => (
            <li key={index}>
              <strong>{naming.cell(row)}</strong>
              {others.map(({ heading, cell }) => (
                <span key={heading} class="part">
                  <span class="unit">{heading}</span> {cell(row)}
                </span>
              ))}
            </li>
          ))}
        </ul>
      </div>
    );
  return (
    <div class="rows">
      <h2>{caption}</h2>
      <table>
        <thead>
          <tr>
            {columns.map(({ heading, isNumber }) => (
              <th key={heading} scope="col" class={isNumber ? 'number' : ''}>
                {heading}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, index) => (
            <tr key={index}>
              <th scope="row">{naming.cell(row)}</th>
              {others.map(({ heading, isNumber, cell }) => (
                <td key={heading} class={isNumber ? 'number' : ''}>
                  {cell(row)}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
