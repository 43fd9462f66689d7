/** Longer sides are drawn smaller: what a seal looks like is seen at this size, and a logbook stays handy. */
const LONGEST_SIDE_px = 2000;
const JPEG_QUALITY = 0.85;

/**
 * A photo at the size that a logbook needs. Drawn anew it also loses what cameras write beside the picture, such as
 * where it was taken. What cannot be drawn here goes as it is, for the server to judge.
 */
export async function smallerPhoto(file: Blob): Promise<Blob> {
  const picture = await createImageBitmap(file).catch(() => null);
  if (!picture) return file;
  const scale = Math.min(1, LONGEST_SIDE_px / Math.max(picture.width, picture.height));
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const drawn = await new Promise<Blob | null>((resolve) =>
    canvas.toBlob(resolve, 'image/jpeg', JPEG_QUALITY),
  );
  return drawn ?? file;
}
