import type { Layout } from 'plotly.js-dist-min';
import type { PointsAnswer, PointsLayer, PointsQuestion } from './measured-points.js';

/**
 * Draws measured points into one raster picture that lies behind the lines, in place of thousands of SVG marks.
 * It belongs to the figure, so it is exported with it.
 */
export async function drawPoints(layer: PointsLayer): Promise<NonNullable<Layout['images']>> {
  const { clouds, x, y, perUnit, size } = layer;
  const scale = Math.max(2, devicePixelRatio);
  const source = await ask({
    clouds: clouds.map(({ colour, parts }) => ({
      colour,
      parts: parts.map((part) => ({ x: packed(part.x), y: packed(part.y) })),
    })),
    x,
    y,
    width: Math.max(1, Math.round(size.width * scale)),
    height: Math.max(1, Math.round(size.height * scale)),
    scale,
  });
  return [
    {
      source,
      xref: 'x',
      yref: 'y',
      x: x[0] * perUnit.x,
      y: y[1] * perUnit.y,
      sizex: (x[1] - x[0]) * perUnit.x,
      sizey: (y[1] - y[0]) * perUnit.y,
      sizing: 'stretch',
      layer: 'below',
    },
  ];
}

const packs = new WeakMap<readonly number[], Float32Array>();

/** Packed once for all pictures, which saves the page from copying every number each time. */
function packed(values: readonly number[]): Float32Array {
  const pack = packs.get(values) ?? Float32Array.from(values);
  packs.set(values, pack);
  return pack;
}

interface Asked {
  resolve(source: string): void;
  reject(fault: Error): void;
}

const asked = new Map<number, Asked>();
let worker: Worker | null = null;
let lastId = 0;

function ask(question: Omit<PointsQuestion, 'id'>): Promise<string> {
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
    if ('source' in data) resolve(data.source);
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
