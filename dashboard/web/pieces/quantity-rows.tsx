import { RowsTable } from './rows-table.js';

/** A quantity as a sentence's numbers are listed: value with its interval, and unit. */
interface QuantityRow {
  readonly quantity: string;
  readonly value: string;
  readonly unit: string;
}

/** Quantities with their values and units. */
export function QuantityRows(props: { readonly caption: string; readonly rows: readonly QuantityRow[] }) {
  return (
    <RowsTable
      {...props}
      columns={[
        { heading: 'Quantity', cell: ({ quantity }) => quantity },
        { heading: 'Value (± 95 %)', isNumber: true, cell: ({ value, unit }) => `${value} ${unit}`.trim() },
      ]}
    />
  );
}
