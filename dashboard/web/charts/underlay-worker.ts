/** Runs beside the page: draws measured points, bands and markers into a raster picture, which would hold the page up. */
import { MARKER_AT, MARKER_SIZE, markerPaths } from '../identity/markers.js';
import { channels } from '../identity/palette.js';
import type { Band, UnderlayAnswer, UnderlayQuestion } from './underlay.js';

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

function drawn(question: UnderlayQuestion): ImageBitmap {
  const { width, height } = question;
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext('2d')!;
  if (question.clouds.length > 0) {
    const pixels = context.createImageData(width, height);
    stampPoints(pixels, question);
    context.putImageData(pixels, 0, 0);
  }
  for (const band of question.bands) {
    context.fillStyle = band.colour;
    context.fill(outline(band, question));
  }
  for (const [index, line] of question.lines.entries()) {
    const { marker, colour } = line.identity;
    const size = (question.scale * line.markers.size) / MARKER_SIZE;
    context.fillStyle = colour;
    for (const [across, down] of markedPlaces(line, index, question)) {
      context.setTransform(size, 0, 0, size, across - size * MARKER_AT[0], down - size * MARKER_AT[1]);
      context.fill(new Path2D(markerPaths[marker]));
    }
  }
  return canvas.transferToImageBitmap();
}

type Frame = Pick<UnderlayQuestion, 'x' | 'y' | 'width' | 'height'>;
/** Pixels from the left and from the top. */
type Place = readonly [across: number, down: number];

const placeIn =
  ({ x, y, width, height }: Frame) =>
  (at: number, up: number): Place => [
    (width * (at - x[0])) / (x[1] - x[0]),
    (height * (y[1] - up)) / (y[1] - y[0]),
  ];

function outline(band: Band, frame: Frame): Path2D {
  const path = new Path2D();
  const placeOf = placeIn(frame);
  let isDown = false;
  for (const [i, at] of band.x.entries()) {
    const up = band.y[i] ?? null;
    if (at === null || up === null) {
      isDown = false;
      continue;
    }
    if (isDown) path.lineTo(...placeOf(at, up));
    else path.moveTo(...placeOf(at, up));
    isDown = true;
  }
  return path;
}

/** Every so many of a line's points in view, beginning elsewhere on each line, so that markers do not lie on each other. */
function markedPlaces(
  { x, y, markers }: UnderlayQuestion['lines'][number],
  index: number,
  frame: Frame,
): Place[] {
  const placeOf = placeIn(frame);
  const places = x.flatMap((at, i): Place[] => {
    const up = y[i] ?? null;
    return at === null || up === null ? [] : [placeOf(at, up)];
  });
  const inView = places.filter(
    ([across, down]) => across >= 0 && across <= frame.width && down >= 0 && down <= frame.height,
  );
  const every = Math.ceil(inView.length / markers.most);
  const first = Math.round((index * every) / 3) % every;
  return inView.filter((_, i) => i % every === first);
}

function stampPoints(pixels: ImageData, { clouds, perUnit, scale, ...frame }: UnderlayQuestion): void {
  const disc = discOf(RADIUS_PX * scale);
  const { x, y, width, height } = frame;
  const perX = (perUnit.x * width) / (x[1] - x[0]);
  const perY = (perUnit.y * height) / (y[1] - y[0]);
  const [left, top] = [x[0] / perUnit.x, y[1] / perUnit.y];
  for (const { colour, parts } of clouds) {
    const ink = channels(colour);
    for (const { x: xs, y: ys } of parts)
      for (let i = 0; i < xs.length; i++)
        stamp(pixels, disc, ink, Math.round((xs[i]! - left) * perX), Math.round((top - ys[i]!) * perY));
  }
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
