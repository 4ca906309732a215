/**
 * Storing an edition waits while a page of the manual loads: the reader who turns from page to page just after the first
 * visit must not wait for it. The lock goes with its page, however that ends.
 */

const LONGEST_MS = 20_000; // A page that does not come to rest, as in a tab that nobody looks at, must not stop the storing.

/** @param {string} prefix of what this manual stores */
function nameOf(prefix) {
  return `${prefix}loading`;
}

/**
 * Marks this page as loading.
 *
 * @param {string} prefix of what this manual stores
 * @param {Promise<void>} settled when the page has come to rest
 */
export function markLoading(prefix, settled) {
  const longest = new Promise((done) => setTimeout(done, LONGEST_MS));
  navigator.locks?.request(nameOf(prefix), { mode: "shared" }, () => Promise.race([settled, longest])).catch(() => {});
}

/**
 * Waits until no page is loading.
 *
 * @param {string} prefix of what this manual stores
 * @param {AbortSignal} signal ends the wait
 */
export async function noPageLoads(prefix, signal) {
  await navigator.locks?.request(nameOf(prefix), { mode: "exclusive", signal }, () => {});
}
