/** Heads of pictures: enough to tell their kind and size from, no more. */

export function tinyPng(width_px: number, height_px: number): Uint8Array {
  const bytes = new Uint8Array(33);
  bytes.set([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13, 0x49, 0x48, 0x44, 0x52]);
  const view = new DataView(bytes.buffer);
  view.setUint32(16, width_px);
  view.setUint32(20, height_px);
  return bytes;
}

/** With an application segment before the frame header, as cameras write it. */
export function tinyJpeg(width_px: number, height_px: number): Uint8Array {
  const head = [0xff, 0xd8, 0xff, 0xe0, 0, 6, 1, 2, 3, 4, 0xff, 0xc0, 0, 11, 8];
  const size = [height_px >> 8, height_px & 255, width_px >> 8, width_px & 255];
  return Uint8Array.from([...head, ...size, 1, 1, 0x11, 0, 0xff, 0xd9]);
}

export function tinyWebp(width_px: number, height_px: number): Uint8Array {
  const bytes = new Uint8Array(30);
  bytes.set(new TextEncoder().encode('RIFF....WEBPVP8X'));
  const view = new DataView(bytes.buffer);
  view.setUint32(24, width_px - 1, true);
  // 24 bits of height straddle a word: written bytewise.
  bytes.set([(height_px - 1) & 255, (height_px - 1) >> 8, 0], 27);
  return bytes;
}
