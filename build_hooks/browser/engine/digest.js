/**
 * Whether bytes are those of a part. Where the browser has no digest (plain http) the checks of gzip and of the
 * image's own head must do.
 *
 * @param {Uint8Array<ArrayBuffer>[]} chunks
 * @param {import("../protocol.js").Part} part
 * @returns {Promise<boolean>}
 */
export async function isPart(chunks, part) {
  if (!globalThis.crypto?.subtle) return true;
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", await new Blob(chunks).arrayBuffer()));
  const found = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return found === part.stored || found === part.content;
}
