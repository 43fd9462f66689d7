import { Chart } from '../charts/chart.js';
import { setting } from '../charts/setting.js';
import { type TargetPicture, targetFigure } from '../charts/target.js';

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
  const drawn = setting.value;
  return (
    <Chart
      title={props.title}
      note={props.note}
      height={drawn.isNarrow ? 400 : 440}
      figure={(size) => targetFigure(props.picture(), props.quantity, drawn, size)}
      drawnFrom={[...props.drawnFrom, drawn]}
      fileName={props.fileName}
    />
  );
}
