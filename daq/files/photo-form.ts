import { DaqError } from '../daq-error.js';

export type PhotoType = 'image/jpeg' | 'image/png' | 'image/webp';

/** What a photo's own bytes say it is. */
export interface PhotoForm {
  readonly mediaType: PhotoType;
  readonly width_px: number;
  readonly height_px: number;
}

export const MOST_PHOTO_BYTES = 8 * 1024 * 1024;
/** A picture beyond this takes a browser gigabytes to draw, however few bytes it is packed in. */
const MOST_SIDE_px = 12_000;

/**
 * Tells what kind of picture bytes are and how large it is drawn, from the bytes alone; a name or a stated type counts
 * for nothing, and pictures that can carry scripts are none of these kinds.
 * @param where for messages
 * @throws DaqError 'photo-refused'
 * @remarks sources: JPEG markers ITU-T T.81 annex B.1.1.3; PNG third edition (W3C 2025) sections 5.2 and 11.2.1; WebP
 *   container RFC 9649 section 2
 */
export function photoForm(bytes: Uint8Array, where: string): PhotoForm {
  const refuse = (found: string, wanted: string) => new DaqError('photo-refused', { where, found, wanted });
  if (bytes.length > MOST_PHOTO_BYTES)
    throw refuse(`${(bytes.length / 1e6).toFixed(1)} MB`, `at most ${MOST_PHOTO_BYTES / 1024 ** 2} MB`);
  const form = jpegForm(bytes) ?? pngForm(bytes) ?? webpForm(bytes);
  if (!form) throw refuse('bytes that are none of these', 'a photo as JPEG, PNG or WebP');
  const { width_px, height_px } = form;
  if (!(Math.min(width_px, height_px) > 0 && Math.max(width_px, height_px) <= MOST_SIDE_px))
    throw refuse(`${width_px} × ${height_px} pixels`, `sides of 1 to ${MOST_SIDE_px} pixels`);
  return form;
}

function jpegForm(bytes: Uint8Array): PhotoForm | null {
  const view = viewOf(bytes);
  if (bytes.length < 4 || view.getUint16(0) !== 0xffd8) return null;
  // Segments follow each other; the frame header is the first whose marker is C0 to CF, but for DHT, JPG and DAC.
  for (let at = 2; at + 9 <= bytes.length && bytes[at] === 0xff; at += 2 + view.getUint16(at + 2)) {
    const marker = bytes[at + 1]!;
    if (marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker))
      return { mediaType: 'image/jpeg', width_px: view.getUint16(at + 7), height_px: view.getUint16(at + 5) };
  }
  return null;
}

function pngForm(bytes: Uint8Array): PhotoForm | null {
  const isPng = bytes.length >= 24 && textAt(bytes, 0, 8) === '\x89PNG\r\n\x1a\n';
  if (!isPng || textAt(bytes, 12, 4) !== 'IHDR') return null;
  const view = viewOf(bytes);
  return { mediaType: 'image/png', width_px: view.getUint32(16), height_px: view.getUint32(20) };
}

function webpForm(bytes: Uint8Array): PhotoForm | null {
  if (bytes.length < 30 || textAt(bytes, 0, 4) !== 'RIFF' || textAt(bytes, 8, 4) !== 'WEBP') return null;
  const view = viewOf(bytes);
  const sized = (width_px: number, height_px: number): PhotoForm => ({
    mediaType: 'image/webp',
    width_px,
    height_px,
  });
  switch (textAt(bytes, 12, 4)) {
    case 'VP8 ':
      return sized(view.getUint16(26, true) & 0x3fff, view.getUint16(28, true) & 0x3fff);
    case 'VP8L': {
      const bits = view.getUint32(21, true);
      return sized((bits & 0x3fff) + 1, ((bits >> 14) & 0x3fff) + 1);
    }
    case 'VP8X':
      return sized(1 + (view.getUint32(24, true) & 0xffffff), 1 + (view.getUint32(26, true) >>> 8));
    default:
      return null;
  }
}

const viewOf = (bytes: Uint8Array) => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
const textAt = (bytes: Uint8Array, start: number, length: number) =>
  String.fromCharCode(...bytes.subarray(start, start + length));
