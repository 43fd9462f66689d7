import { catchUp } from '../in-turn.js';
import { saveFile } from '../pieces/save-file.js';
import { csvOf } from './picture-table.js';
import { type Figure, loadPlotly, type PictureElement } from './plotly.js';
import { wholeFigure } from './whole-figure.js';

const formats = ['png', 'svg', 'csv'] as const;
type Format = (typeof formats)[number];

/** Saves a picture as it looks, or what it draws as numbers; the file is made in the browser. */
export function SavePicture(props: {
  readonly title: string;
  readonly fileName: string;
  readonly element: () => PictureElement;
  /** Null until it is drawn. */
  readonly figure: Figure | null;
  /** Draws what is still to be drawn. */
  readonly upToDate: () => Promise<Figure>;
}) {
  const { title, fileName, element, figure, upToDate } = props;
  const save = async (format: Format) => {
    await catchUp(element());
    const latest = await upToDate();
    if (format === 'csv') {
      saveFile(`${fileName}.csv`, 'text/csv;charset=utf-8', csvOf(latest.table!()));
      return;
    }
    const plotly = await loadPlotly();
    const { width, height } = element().getBoundingClientRect();
    const whole = await wholeFigure(latest, element().layout, { width, height });
    await plotly.downloadImage(whole, { format, width, height, scale: 2, filename: fileName });
  };
  return (
    <p class="save">
      <span>Save</span>
      {formats
        .filter((format) => format !== 'csv' || figure?.table)
        .map((format) => (
          <button
            key={format}
            type="button"
            class="quiet"
            disabled={!figure}
            aria-label={`Save “${title}” as ${format.toUpperCase()}`}
            onClick={() => save(format)}
          >
            {format.toUpperCase()}
          </button>
        ))}
    </p>
  );
}
