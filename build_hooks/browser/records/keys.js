/** A key that no other machine has made: random, for people move with their file from one machine to another. */
export function newKey() {
  return Array.from(crypto.getRandomValues(new Uint8Array(8)), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** The present moment in universal time, as records hold it. */
export function now() {
  return new Date().toISOString();
}

/**
 * A moment, or just after another one: what is noted later counts later, also where a clock is behind or was set back.
 *
 * @param {string} before in universal time; may be empty
 * @param {string} moment in universal time; the present one where it is none
 */
export function laterThan(before, moment) {
  return new Date(Math.max(Date.parse(moment) || Date.now(), (Date.parse(before) || 0) + 1)).toISOString();
}

/** Today's date by the shop's clock. */
export function today() {
  const day = new Date();
  const two = (/** @type {number} */ part) => String(part).padStart(2, "0");
  return `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`;
}
