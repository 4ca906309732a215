/** Fetches a whole edition into its cache, every file checked against the list. */

import { noPageLoads } from "./loading-pages.js";

const AT_A_TIME = 6;

/** Why an edition could not be stored, in words for whoever maintains the manual. */
export class NotStored extends Error {
  /**
   * @param {string} why
   * @param {boolean} full whether there is no room for it
   */
  constructor(why, full) {
    super(why);
    this.full = full;
  }
}

/**
 * @param {import("./stored-editions.js").StoredEditions} kept
 * @param {import("./worker-types.js").Edition} edition
 */
export async function fetchEdition(kept, edition) {
  const { name, files } = edition;
  await needRoom(edition.bytes);
  await kept.remove(name); // Half of it may be left from an attempt that was cut off.
  const cache = await kept.open(name);
  const earlier = await unchanged(kept, name, files);
  const stop = new AbortController();
  const waiting = Object.entries(files);
  const takeAll = async () => {
    for (let next = waiting.shift(); next; next = waiting.shift()) {
      await noPageLoads(kept.prefix, stop.signal);
      const [path, integrity] = next;
      const address = kept.addressOf(path);
      const answer = (await earlier(path)) ?? (await fetched(address, path, integrity, stop.signal));
      await put(cache, address, answer);
    }
  };
  try {
    await Promise.all(Array.from({ length: AT_A_TIME }, takeAll));
  } catch (fault) {
    waiting.length = 0;
    stop.abort();
    throw fault;
  }
  await kept.complete(name, files);
}

/**
 * Asked before anything is fetched: a browser without room must not fetch it all again with every page.
 *
 * @param {number} bytes
 */
async function needRoom(bytes) {
  const { quota = Infinity, usage = 0 } = (await navigator.storage?.estimate?.()) ?? {};
  if (quota - usage < bytes) throw full();
}

function full() {
  return new NotStored("there is no room for it in this browser's store", true);
}

/**
 * Files that an earlier edition holds already, letter for letter, need not be fetched.
 *
 * @param {import("./stored-editions.js").StoredEditions} kept
 * @param {string} own
 * @param {Readonly<Record<string, string>>} files
 * @returns {Promise<(path: string) => Promise<Response | undefined>>}
 */
async function unchanged(kept, own, files) {
  /** @type {[string, Record<string, string>][]} */
  const earlier = [];
  for (const edition of await kept.all()) {
    const list = edition === own ? null : await kept.listOf(edition);
    if (list) earlier.push([edition, list]);
  }
  return async (path) => {
    const same = earlier.find(([, list]) => list[path] === files[path]);
    return same && kept.file(same[0], path);
  };
}

/**
 * @param {string} address
 * @param {string} path
 * @param {string} integrity
 * @param {AbortSignal} signal
 * @returns {Promise<Response>}
 */
async function fetched(address, path, integrity, signal) {
  // Some servers send the page of a folder only by the folder's own name.
  const asked = address.replace(/\/index\.html$/, "/");
  // What the browser has may serve if it is the right one; if not, the server's own copy is asked for.
  for (const cache of /** @type {const} */ (["no-cache", "reload"])) {
    const answer = await fetch(asked, { cache, integrity, signal, credentials: "same-origin" }).catch(() => null);
    if (answer?.ok) return clean(answer);
  }
  throw new NotStored(`“${path}” could not be fetched as this edition has it`, false);
}

/**
 * An answer that came by way of another address may not be given for a page; a copy of it may.
 *
 * @param {Response} answer
 */
async function clean(answer) {
  return answer.redirected ? new Response(await answer.blob(), { headers: answer.headers }) : answer;
}

/**
 * @param {Cache} cache
 * @param {string} address
 * @param {Response} answer
 */
async function put(cache, address, answer) {
  try {
    await cache.put(address, answer);
  } catch (fault) {
    throw fault instanceof DOMException && fault.name === "QuotaExceededError" ? full() : fault;
  }
}
