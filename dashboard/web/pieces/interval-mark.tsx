import type { Estimate } from '../../../analysis/index.js';

const WIDTH = 160;
const HEIGHT = 16;

/** An interval on a scale that all rows of a table share, with zero drawn as a line; ends beyond the scale are open. */
export function IntervalMark(props: { readonly estimate: Estimate; readonly reach: number }) {
  const { reach } = props;
  const { value, low95, high95 } = props.estimate;
  const at = (share: number) => WIDTH / 2 + (Math.min(1, Math.max(-1, share / reach)) * (WIDTH - 12)) / 2;
  const middle = HEIGHT / 2;
  return (
    <svg class="interval" width={WIDTH} height={HEIGHT} viewBox={`0 0 ${WIDTH} ${HEIGHT}`} aria-hidden="true">
      <line class="zero" x1={WIDTH / 2} x2={WIDTH / 2} y1="-10" y2={HEIGHT + 10} />
      <line class="span" x1={at(low95)} x2={at(high95)} y1={middle} y2={middle} />
      {[low95, high95].map(
        (end) =>
          Math.abs(end) <= reach && (
            <line key={end} class="span" x1={at(end)} x2={at(end)} y1={middle - 3} y2={middle + 3} />
          ),
      )}
      {Math.abs(value) <= reach && <circle class="value" cx={at(value)} cy={middle} r="3.5" />}
    </svg>
  );
}
