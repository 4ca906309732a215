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
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", joined(chunks)));
  const found = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return found === part.stored || found === part.content;
}

/**
 * In one piece. Not by a blob: WebKitGTK lets no worker of a page from a folder read one.
 *
 * @param {Uint8Array<ArrayBuffer>[]} chunks
 * @returns {Uint8Array<ArrayBuffer>}
 */
function joined(chunks) {
  const [only] = chunks;
  if (only && chunks.length === 1) return only;
  const whole = new Uint8Array(chunks.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const chunk of chunks) {
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole;
}
