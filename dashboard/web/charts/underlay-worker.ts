/** Runs beside the page: draws measured points and bands into a raster picture, which would hold the page up. */
import { channels } from '../identity/palette.js';
import type { UnderlayAnswer, UnderlayQuestion } from './underlay.js';

const RADIUS_PX = 1.3;
const OPACITY = 0.22;

addEventListener('message', ({ data }: MessageEvent<UnderlayQuestion>) => {
  try {
    const bitmap = drawn(data);
    postMessage({ id: data.id, bitmap } satisfies UnderlayAnswer, { transfer: [bitmap] });
  } catch (fault) {
    postMessage({ id: data.id, fault: String(fault) } satisfies UnderlayAnswer);
  }
});

function drawn({ clouds, perUnit, bands, x, y, width, height, scale }: UnderlayQuestion): ImageBitmap {
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext('2d')!;
  const perX = width / (x[1] - x[0]);
  const perY = height / (y[1] - y[0]);
  if (clouds.length > 0) {
    const pixels = context.createImageData(width, height);
    const disc = discOf(RADIUS_PX * scale);
    const [across, down] = [perUnit.x * perX, perUnit.y * perY];
    const [left, top] = [x[0] * perX, y[1] * perY];
    for (const { colour, parts } of clouds) {
      const ink = channels(colour);
      for (const { x: xs, y: ys } of parts)
        for (let i = 0; i < xs.length; i++)
          stamp(pixels, disc, ink, Math.round(xs[i]! * across - left), Math.round(top - ys[i]! * down));
    }
    context.putImageData(pixels, 0, 0);
  }
  for (const band of bands) {
    context.fillStyle = band.colour;
    context.beginPath();
    let isInside = false;
    for (const [i, at] of band.x.entries()) {
      const up = band.y[i];
      if (at === null || up === null || up === undefined) {
        isInside = false;
        continue;
      }
      const corner = [(at - x[0]) * perX, (y[1] - up) * perY] as const;
      if (isInside) context.lineTo(...corner);
      else context.moveTo(...corner);
      isInside = true;
    }
    context.fill();
  }
  return canvas.transferToImageBitmap();
}

/** Places of a disc's pixels about its middle, x and y in turn. */
function discOf(radius: number): Int32Array {
  const reach = Math.ceil(radius);
  const places: number[] = [];
  for (let dy = -reach; dy <= reach; dy++)
    for (let dx = -reach; dx <= reach; dx++) if (Math.hypot(dx, dy) <= radius) places.push(dx, dy);
  return Int32Array.from(places);
}

/**
 * Lays one faint dot over what is there. Done by hand, because a path or a stamp of the canvas for each of sixty thousand
 * points takes a second.
 */
function stamp(
  { data, width, height }: ImageData,
  disc: Int32Array,
  ink: readonly number[],
  x: number,
  y: number,
): void {
  for (let k = 0; k < disc.length; k += 2) {
    const px = x + disc[k]!;
    const py = y + disc[k + 1]!;
    if (px < 0 || py < 0 || px >= width || py >= height) continue;
    const at = 4 * (py * width + px);
    // Porter and Duff (1984), "over", for colours that are not multiplied by their opacity.
    const below = (data[at + 3]! / 255) * (1 - OPACITY);
    const opacity = OPACITY + below;
    for (let c = 0; c < 3; c++) data[at + c] = (ink[c]! * OPACITY + data[at + c]! * below) / opacity;
    data[at + 3] = 255 * opacity;
  }
}
