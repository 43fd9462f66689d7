import type { LineLabel } from './line-labels.js';
import type { PlotArea } from './plot-area.js';

/** Names at the ends of lines, for the pointer; what a click on one does has another way for the keyboard. */
export function LineNames(props: {
  readonly area: PlotArea;
  readonly labels: readonly LineLabel[];
  readonly onLabel?: ((name: string) => void) | undefined;
}) {
  const { area, labels, onLabel } = props;
  const isInside = (down: number) => down >= area.top && down <= area.top + area.height;
  return (
    <div class="line-names" style={{ left: `${area.right + 8}px` }} aria-hidden="true">
      {labels.map(({ text, y, name, colour }) => {
        const down = area.downTo(y);
        if (!isInside(down)) return null;
        const style = { top: `${down}px`, color: colour };
        return name === undefined || !onLabel ? (
          <span key={text} style={style}>
            {text}
          </span>
        ) : (
          <button key={name} type="button" tabIndex={-1} style={style} onClick={() => onLabel(name)}>
            {text}
          </button>
        );
      })}
    </div>
  );
}
