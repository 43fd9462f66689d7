import type { Axes } from './axes.js';
import { plotSize } from './plot-area.js';
import type { Figure, Size } from './plotly.js';
import type { UnderlayAnswer, UnderlayQuestion } from './underlay.js';

/**
 * Draws what lies beneath the lines of a figure, points, bands and markers, into one raster picture of its plot area, in
 * place of thousands of SVG marks.
 * @returns null where there is nothing
 */
export async function drawUnderlay(
  { layout, points, bands = [], lines = [] }: Pick<Figure, 'layout' | 'points' | 'bands' | 'lines'>,
  size: Size,
  axes: Axes,
): Promise<ImageBitmap | null> {
  if (!points && bands.length === 0 && lines.length === 0) return null;
  const scale = Math.max(2, devicePixelRatio);
  const plot = plotSize(layout, size);
  return ask({
    clouds: (points?.clouds ?? []).map(({ colour, parts }) => ({
      colour,
      parts: parts.map((part) => ({ x: packed(part.x), y: packed(part.y) })),
    })),
    perUnit: points?.perUnit ?? { x: 1, y: 1 },
    bands,
    lines,
    ...axes,
    width: Math.max(1, Math.round(plot.width * scale)),
    height: Math.max(1, Math.round(plot.height * scale)),
    scale,
  });
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

function ask(question: Omit<UnderlayQuestion, 'id'>): Promise<ImageBitmap> {
  worker ??= startWorker();
  const id = ++lastId;
  worker.postMessage({ ...question, id } satisfies UnderlayQuestion);
  return new Promise((resolve, reject) => asked.set(id, { resolve, reject }));
}

function startWorker(): Worker {
  const started = new Worker(new URL('./underlay-worker.ts', import.meta.url), { type: 'module' });
  started.onmessage = ({ data }: MessageEvent<UnderlayAnswer>) => {
    const { resolve, reject } = asked.get(data.id)!;
    asked.delete(data.id);
    if ('bitmap' in data) resolve(data.bitmap);
    else reject(new Error(data.fault));
  };
  // It could not be loaded: what waits for it is broken, what comes later tries again.
  started.onerror = () => {
    worker = null;
    for (const { reject } of asked.values())
      reject(new Error('what lies beneath the lines could not be drawn'));
    asked.clear();
  };
  return started;
}
