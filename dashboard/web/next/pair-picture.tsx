import { Chart } from '../charts/chart.js';
import { type TargetPicture, targetFigure } from '../charts/target.js';
import { narrow, theme } from '../theme.js';

/** A build against its target. On a phone, where lines have no names at their ends, the note names them. */
export function PairPicture(props: {
  readonly title: string;
  readonly note: string;
  readonly quantity: string;
  readonly fileName: string;
  /** Made anew for each look of the page; `drawnFrom` says when it is another picture. */
  readonly picture: () => TargetPicture;
  readonly drawnFrom: readonly unknown[];
}) {
  const isNarrow = narrow.value;
  return (
    <Chart
      title={props.title}
      note={props.note}
      height={isNarrow ? 400 : 440}
      figure={(size) => targetFigure(props.picture(), props.quantity, theme.value, size, isNarrow)}
      drawnFrom={[...props.drawnFrom, theme.value]}
      fileName={props.fileName}
    />
  );
}
