import type { CsvReading, ImportPreviewBody, TraceQuantity } from '../../server/api.js';
import { columnReasonWords } from '../../wording/index.js';

const quantities: Readonly<Record<TraceQuantity, string>> = {
  time: 'Time',
  position: 'Position',
  force: 'Force',
  temperature: 'Oil temperature',
};
/** What is taken where a column becomes another quantity. */
const usualUnits: Readonly<Record<TraceQuantity, string>> = {
  time: 's',
  position: 'mm',
  force: 'N',
  temperature: 'degC',
};

/** The first rows as they stand in the file, with what each column is taken for above them, and why. */
export function ColumnTable(props: {
  readonly preview: ImportPreviewBody;
  readonly name: string;
  readonly onState: (columns: CsvReading['columns']) => void;
}) {
  const { preview, name, onState } = props;
  const { columns, reading, rows, units } = preview;
  const statedOf = (cell: number) => reading.columns.find((column) => column.cell === cell);
  const choose = (cell: number, quantity: TraceQuantity | '') => {
    // One column of each: what was it before is left out.
    const others = reading.columns.filter((column) => column.cell !== cell && column.quantity !== quantity);
    const column = columns.find((one) => one.cell === cell)!;
    onState(
      quantity === ''
        ? others
        : [...others, { cell, name: column.name, quantity, unit: usualUnits[quantity] }],
    );
  };
  const chooseUnit = (cell: number, unit: string) =>
    onState(reading.columns.map((column) => (column.cell === cell ? { ...column, unit } : column)));
  return (
    <section class="columns" aria-label={`Columns of ${name}`}>
      <table>
        <thead>
          <tr>
            {columns.map((column) => {
              const stated = statedOf(column.cell);
              const isGuess = stated?.quantity === (column.quantity ?? undefined);
              return (
                <th key={column.cell} scope="col">
                  <span class="column-name">{column.name}</span>
                  <select
                    aria-label={`What ${column.name} is`}
                    value={stated?.quantity ?? ''}
                    onChange={(event) => choose(column.cell, event.currentTarget.value as TraceQuantity | '')}
                  >
                    <option value="">left out</option>
                    {Object.entries(quantities).map(([quantity, words]) => (
                      <option key={quantity} value={quantity}>
                        {words}
                      </option>
                    ))}
                  </select>
                  {stated && (
                    <select
                      aria-label={`Unit of ${column.name}`}
                      value={stated.unit}
                      aria-invalid={stated.unit === ''}
                      onChange={(event) => chooseUnit(column.cell, event.currentTarget.value)}
                    >
                      {stated.unit === '' && <option value="">choose …</option>}
                      {units[stated.quantity].map((unit) => (
                        <option key={unit} value={unit}>
                          {unit.replace('deg', '°').replace(/^u/, 'µ')}
                        </option>
                      ))}
                    </select>
                  )}
                  <small>{isGuess ? columnReasonWords(column) : 'as you say'}</small>
                </th>
              );
            })}
          </tr>
        </thead>
        <tbody>
          {rows.slice(0, 5).map((row, index) => (
            <tr key={index}>
              {row.map((cell, place) => (
                <td key={place} class={statedOf(place) ? 'number' : 'number left-out'}>
                  {cell}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
