import { newKey } from "../records/keys.js";

const LEASE = 60_000; // Milliseconds after which a tab that has said nothing is taken for gone.

/**
 * Does something that no other tab of this manual does at the same time. Without the browser's locks, which pages served by plain http
 * do not have, a note in the store serves; it is a courtesy then, and no proof.
 *
 * @param {import("../page/store.js").Store} store
 * @param {string} name
 * @param {() => Promise<void>} work
 * @returns {Promise<boolean>} whether it was done; not, when another tab is at it
 */
export async function oneAtATime(store, name, work) {
  if (navigator.locks) {
    return navigator.locks.request(`${store.prefix}${name}`, { ifAvailable: true }, async (lock) => (lock ? work().then(() => true) : false));
  }
  const own = newKey();
  const held = /** @type {any} */ (store.get(name));
  if (held && held.until > Date.now()) return false;
  const renew = () => store.set(name, { by: own, until: Date.now() + LEASE });
  renew();
  const renewing = setInterval(renew, LEASE / 3);
  try {
    await work();
  } finally {
    clearInterval(renewing);
    store.remove(name);
  }
  return true;
}
