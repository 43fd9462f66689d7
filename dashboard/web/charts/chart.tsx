import type { ComponentChildren } from 'preact';
import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { inTurn, watchView } from '../in-turn.js';
import { lazily } from '../lazily.js';
import { Waiting } from '../pieces/waiting.js';
import { narrow } from '../theme.js';
import { type Axes, areSame, axesOf, CLEAR } from './axes.js';
import { LineNames } from './line-names.js';
import { plotArea } from './plot-area.js';
import { chartConfig, type Figure, loadPlotly, type PictureElement, type Size } from './plotly.js';
import { ReadingLine } from './reading-line.js';
import { SavePicture } from './save-picture.js';
import { type DrawnUnderlay, UnderlayCanvas } from './underlay-canvas.js';
import { drawUnderlay } from './underlay-picture.js';
import { lineTrace } from './whole-figure.js';

export interface ChartProps {
  /** What the picture shows, for its caption and for those who do not see it. */
  readonly title: string;
  readonly note?: string;
  /** What the picture says, above it. */
  readonly sentence?: string | null;
  /** What changes it. */
  readonly controls?: ComponentChildren;
  readonly height: number;
  /** Makes the figure for a size. */
  readonly figure: (size: Size) => Figure;
  /** Everything `figure` reads; it is drawn again when one of these changes. */
  readonly drawnFrom: readonly unknown[];
  readonly fileName: string;
  /** Told the name of a label that was clicked. */
  readonly onLabel?: (name: string) => void;
  /** Lets the pointer read the horizontal axis. */
  readonly reading?: { readonly at: number | null; readonly onRead: (x: number) => void };
}

interface Drawn {
  readonly figure: Figure;
  readonly size: Size;
  /** As they are shown now, which zooming changes. */
  readonly axes: Axes;
}

/** A picture with its caption. The last one stays until the next is ready; one out of view waits its turn. */
export function Chart(props: ChartProps) {
  const box = useRef<HTMLDivElement>(null);
  const place = useRef<HTMLDivElement>(null);
  const upToDate = useRef<() => Promise<Figure>>(() => Promise.reject(new Error('not drawn yet')));
  const lastAxes = useRef<Axes | null>(null);
  const [width, setWidth] = useState(0);
  const [drawn, setDrawn] = useState<Drawn | null>(null);
  const [underlay, setUnderlay] = useState<DrawnUnderlay | null>(null);
  const [isBroken, setBroken] = useState(false);
  const isNarrow = narrow.value;
  const { reading, height } = props;

  useLayoutEffect(() => {
    const watch = new ResizeObserver(([entry]) => setWidth(Math.round(entry!.contentRect.width)));
    watch.observe(box.current!);
    return () => watch.disconnect();
  }, []);

  useLayoutEffect(() => {
    if (width === 0) return;
    let isStale = false;
    const draw = lazily(async () => {
      const size = { width, height };
      const figure = props.figure(size);
      const axes = axesOf(figure.layout);
      const drawing = drawUnderlay(figure, size, axes);
      // Lines come first where what lies beneath the last ones fits them.
      const fits = lastAxes.current !== null && areSame(axes, lastAxes.current);
      const [plotly] = await Promise.all([loadPlotly(), fits ? null : drawing]);
      if (isStale) {
        (await drawing)?.close();
        return figure;
      }
      const element = (await plotly.react(
        box.current!,
        [...figure.data, ...(figure.lines ?? []).map(lineTrace)],
        { ...figure.layout, ...size, paper_bgcolor: CLEAR },
        chartConfig(isNarrow),
      )) as unknown as PictureElement;
      const show = (axes: Axes) => {
        lastAxes.current = axes;
        setDrawn({ figure, size, axes });
      };
      show(axes);
      element.removeAllListeners('plotly_relayouting');
      element.on('plotly_relayouting', () => show(axesOf(element._fullLayout)));
      element.removeAllListeners('plotly_relayout');
      element.on('plotly_relayout', async () => {
        const axes = axesOf(element.layout);
        show(axes);
        const bitmap = await drawUnderlay(figure, size, axes);
        if (bitmap && !isStale && areSame(axes, lastAxes.current!)) setUnderlay({ bitmap, axes });
        else bitmap?.close();
      });
      const bitmap = await drawing;
      if (isStale) bitmap?.close();
      else {
        setUnderlay(bitmap && { bitmap, axes });
        setBroken(false);
      }
      return figure;
    });
    upToDate.current = draw;
    const fail = () => {
      if (isStale) return;
      setBroken(true);
      // What lay beneath the last lines is not of these.
      setUnderlay(null);
    };
    const callOff = inTurn(place.current!, () => void draw().catch(fail));
    return () => {
      isStale = true;
      callOff();
    };
  }, [width, height, isNarrow, ...props.drawnFrom]);

  useEffect(() => {
    const element = box.current!;
    const unwatch = watchView(place.current!);
    return () => {
      unwatch();
      void loadPlotly().then((plotly) => plotly.purge(element));
    };
  }, []);

  const area = drawn && plotArea(drawn.figure, drawn.size, drawn.axes);
  const read = (event: PointerEvent) => {
    if (!area || !reading) return;
    const pixel = event.clientX - box.current!.getBoundingClientRect().left;
    if (pixel >= area.left && pixel <= area.right) reading.onRead(area.fromPixel(pixel));
  };

  return (
    <figure class="chart">
      <figcaption>
        <h2>{props.title}</h2>
        <SavePicture
          title={props.title}
          fileName={props.fileName}
          element={() => box.current as unknown as PictureElement}
          figure={drawn?.figure ?? null}
          upToDate={() => upToDate.current()}
        />
        {props.sentence && <p class="says">{props.sentence}</p>}
        {props.note && <p class="note">{props.note}</p>}
        {props.controls}
      </figcaption>
      <div
        ref={place}
        class="plot"
        style={{ height: `${height}px` }}
        onPointerMove={read}
        onPointerDown={read}
      >
        {area && underlay && <UnderlayCanvas area={area} drawn={underlay} />}
        <div ref={box} role="img" aria-label={props.title} />
        {area && drawn.figure.labels && (
          <LineNames area={area} labels={drawn.figure.labels} onLabel={props.onLabel} />
        )}
        {area && reading && reading.at !== null && <ReadingLine area={area} at={reading.at} />}
        {!drawn && !isBroken && <Waiting doing="Drawing" />}
        {isBroken && <p class="trouble">This picture could not be drawn. Reload the page to try again.</p>}
      </div>
    </figure>
  );
}
