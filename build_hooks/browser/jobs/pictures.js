const LONGEST_SIDE = 1280; // Pixels: a scored bore is seen, and a picture takes some 200 kB.
const LARGEST = 450_000; // Characters of the data address.
const QUALITIES = [0.8, 0.65, 0.5, 0.35];

/** How much the pictures of a job may take, in characters. */
export const BUDGET = 20_000_000;

/**
 * A photo made smaller. It is drawn anew, so that what the camera wrote into the file (place, time, device) is gone.
 *
 * @param {Blob} file
 * @returns {Promise<{data: string, width: number, height: number} | null>} null for what is no picture
 */
export async function smaller(file) {
  const photo = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => null);
  if (!photo) return null;
  const scale = Math.min(1, LONGEST_SIDE / Math.max(photo.width, photo.height));
  const width = Math.max(1, Math.round(photo.width * scale));
  const height = Math.max(1, Math.round(photo.height * scale));
  const canvas = document.createElement("canvas");
  Object.assign(canvas, { width, height });
  canvas.getContext("2d")?.drawImage(photo, 0, 0, width, height);
  photo.close();
  for (const quality of QUALITIES) {
    const data = canvas.toDataURL("image/jpeg", quality);
    if (data.length <= LARGEST) return { data, width, height };
  }
  return null;
}

/**
 * What the pictures of a job take of their budget.
 *
 * @param {import("./standing.js").Standing} standing
 */
export function sizeOf({ pictures }) {
  return pictures.reduce((sum, { data }) => sum + data.length, 0);
}

/** @param {number} characters */
export function megabytes(characters) {
  return `${(characters / 1_000_000).toFixed(1)} MB`;
}
