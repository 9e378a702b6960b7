// Photos: made smaller in the browser, named by their hash.

/** Longer edge of a photo that is kept [px]. */
const EDGE = 1600;
const QUALITY = 0.8;

/** SHA-256 of bytes, hex. */
export async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Whether photos can be kept here. */
export function possible() {
  return Boolean(globalThis.crypto?.subtle);
}

/**
 * A photo as it is kept; rejects where the browser cannot read it.
 * @param {Blob} file
 * @returns {Promise<import("./outbox.mjs").AttachedFile>}
 */
export async function smaller(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, EDGE / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const blob = await new Promise((resolve, reject) => {
    canvas.toBlob((made) => (made ? resolve(made) : reject(new Error("no picture"))), "image/jpeg", QUALITY);
  });
  const bytes = await blob.arrayBuffer();
  return { sha256: await sha256(bytes), media_type: "image/jpeg", bytes };
}

/** Whether a number can be read from a picture here. */
export function canReadCodes() {
  return "BarcodeDetector" in globalThis;
}

/** The number on a label in a picture, or null. */
export async function readCode(file) {
  const picture = await createImageBitmap(file);
  try {
    const found = await new globalThis.BarcodeDetector().detect(picture);
    return found[0]?.rawValue.trim().slice(0, 60) || null;
  } finally {
    picture.close();
  }
}

/** The size of a file in words. */
export function size(bytes) {
  return bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))}\u00a0kB` : `${(bytes / 1e6).toFixed(1)}\u00a0MB`;
}
