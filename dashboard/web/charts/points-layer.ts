import type { Layout } from 'plotly.js-dist-min';
import { type Axes, scaled } from './axes.js';
import type { PointsAnswer, PointsLayer, PointsQuestion } from './measured-points.js';

/** Draws measured points into one raster picture of the plot area, in place of thousands of SVG marks. */
export function drawPoints({ clouds, perUnit, size }: PointsLayer, { x, y }: Axes): Promise<ImageBitmap> {
  const scale = Math.max(2, devicePixelRatio);
  return ask({
    clouds: clouds.map(({ colour, parts }) => ({
      colour,
      parts: parts.map((part) => ({ x: packed(part.x), y: packed(part.y) })),
    })),
    x: scaled(x, 1 / perUnit.x),
    y: scaled(y, 1 / perUnit.y),
    width: Math.max(1, Math.round(size.width * scale)),
    height: Math.max(1, Math.round(size.height * scale)),
    scale,
  });
}

/** The same as an image of the figure, for a file. */
export async function pointsImage(
  layer: PointsLayer,
  axes: Axes,
): Promise<NonNullable<Layout['images']>[number]> {
  const canvas = document.createElement('canvas');
  showBitmap(canvas, await drawPoints(layer, axes));
  const { x, y } = axes;
  return {
    source: canvas.toDataURL('image/png'),
    xref: 'x',
    yref: 'y',
    x: x[0],
    y: y[1],
    sizex: x[1] - x[0],
    sizey: y[1] - y[0],
    sizing: 'stretch',
    layer: 'below',
  };
}

/** @param bitmap taken over by the canvas */
export function showBitmap(canvas: HTMLCanvasElement, bitmap: ImageBitmap): void {
  if (canvas.width !== bitmap.width) canvas.width = bitmap.width;
  if (canvas.height !== bitmap.height) canvas.height = bitmap.height;
  canvas.getContext('bitmaprenderer')!.transferFromImageBitmap(bitmap);
}

const packs = new WeakMap<readonly number[], Float32Array>();

/** Packed once for all pictures, which saves the page from copying every number each time. */
function packed(values: readonly number[]): Float32Array {
  const pack = packs.get(values) ?? Float32Array.from(values);
  packs.set(values, pack);
  return pack;
}

interface Asked {
  resolve(bitmap: ImageBitmap): void;
  reject(fault: Error): void;
}

const asked = new Map<number, Asked>();
let worker: Worker | null = null;
let lastId = 0;

function ask(question: Omit<PointsQuestion, 'id'>): Promise<ImageBitmap> {
  worker ??= startWorker();
  const id = ++lastId;
  worker.postMessage({ ...question, id } satisfies PointsQuestion);
  return new Promise((resolve, reject) => asked.set(id, { resolve, reject }));
}

function startWorker(): Worker {
  const started = new Worker(new URL('./points-worker.ts', import.meta.url), { type: 'module' });
  started.onmessage = ({ data }: MessageEvent<PointsAnswer>) => {
    const { resolve, reject } = asked.get(data.id)!;
    asked.delete(data.id);
    if ('bitmap' in data) resolve(data.bitmap);
    else reject(new Error(data.fault));
  };
  // It could not be loaded: what waits for it is broken, what comes later tries again.
  started.onerror = () => {
    worker = null;
    for (const { reject } of asked.values()) reject(new Error('points could not be drawn'));
    asked.clear();
  };
  return started;
}
