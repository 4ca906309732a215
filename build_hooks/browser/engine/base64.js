/**
 * The bytes of a base64 text.
 *
 * @param {string} text
 * @returns {Uint8Array<ArrayBuffer>}
 */
export function bytesOfBase64(text) {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(text);
  // A loop over the codes: a mapping callback takes some fifteen times as long.
  const characters = atob(text);
  const bytes = new Uint8Array(characters.length);
  for (let at = 0; at < characters.length; at++) bytes[at] = characters.charCodeAt(at);
  return bytes;
}
