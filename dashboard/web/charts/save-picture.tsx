import { loadPlotly } from './plotly.js';

const formats = ['png', 'svg'] as const;

/** Saves a picture as it looks; the file is made in the browser. */
export function SavePicture(props: {
  readonly title: string;
  readonly fileName: string;
  readonly element: () => HTMLElement;
  readonly isReady: boolean;
}) {
  const save = async (format: (typeof formats)[number]) => {
    const plotly = await loadPlotly();
    const { width, height } = props.element().getBoundingClientRect();
    await plotly.downloadImage(props.element(), {
      format,
      width,
      height,
      scale: 2,
      filename: props.fileName,
    });
  };
  return (
    <p class="save">
      <span>Save</span>
      {formats.map((format) => (
        <button
          key={format}
          type="button"
          class="quiet"
          disabled={!props.isReady}
          aria-label={`Save “${props.title}” as ${format.toUpperCase()}`}
          onClick={() => save(format)}
        >
          {format.toUpperCase()}
        </button>
      ))}
    </p>
  );
}
