import { Sha256 } from "../engine/digest.js";

const BLOCK = 64; // Bytes: the block of SHA-256.

/**
 * Whether a PIN is the one that `shop.yml` keeps as a hash. By our own SHA-256: on plain http the browser offers none.
 *
 * Source: PBKDF2 of RFC 8018 with HMAC-SHA-256 (RFC 2104), its first block, which is the whole of the hash kept.
 *
 * @param {string} pin
 * @param {string} kept `pbkdf2-sha256$iterations$salt$hash`
 */
export function pinFits(pin, kept) {
  const [, iterations = "0", salt = "", hash = ""] = kept.split("$");
  const key = new Uint8Array(BLOCK);
  key.set(new TextEncoder().encode(pin).slice(0, BLOCK));
  const [inner, outer] = [0x36, 0x5c].map((pad) => key.map((byte) => byte ^ pad));
  const hmac = (/** @type {Uint8Array} */ text) => digest(outer ?? key, digest(inner ?? key, text));
  let last = hmac(Uint8Array.from([...bytesOf(salt), 0, 0, 0, 1]));
  const sum = Uint8Array.from(last);
  for (let round = 1; round < Number(iterations); round++) {
    last = hmac(last);
    for (let at = 0; at < sum.length; at++) sum[at] = (sum[at] ?? 0) ^ (last[at] ?? 0);
  }
  return hexOf(sum) === hash;
}

/**
 * @param {Uint8Array} first
 * @param {Uint8Array} second
 */
function digest(first, second) {
  return bytesOf(new Sha256().update(first).update(second).hex());
}

/** @param {string} hex */
function bytesOf(hex) {
  return Uint8Array.from({ length: hex.length / 2 }, (_, at) => Number.parseInt(hex.slice(2 * at, 2 * at + 2), 16));
}

/** @param {Uint8Array} bytes */
function hexOf(bytes) {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
