/** Reads the index when it is first wanted: a classic script, for a page opened from a folder may load nothing else. */

import { Finder } from "./finder.js";

export class IndexSource {
  /** @type {Promise<Finder> | null} */
  #finder = null;

  /** @param {string} address of the script with the index */
  constructor(address) {
    this.address = address;
  }

  /**
   * The finder; read once, and again after a failure.
   *
   * @returns {Promise<Finder>}
   */
  finder() {
    this.#finder ??= this.#read().catch((fault) => {
      this.#finder = null;
      throw fault;
    });
    return this.#finder;
  }

  async #read() {
    await loaded(this.address);
    const index = globalThis.benchleafSearchIndex;
    if (!index) throw new Error("the index script left no index");
    globalThis.benchleafSearchIndex = undefined;
    return Finder.open(index);
  }
}

/**
 * @param {string} address
 * @returns {Promise<void>}
 */
function loaded(address) {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = address;
    script.onload = () => resolve();
    script.onerror = () => reject(new Error("the index script could not be loaded"));
    document.head.append(script);
  });
}
