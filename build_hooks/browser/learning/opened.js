import { now } from "../records/keys.js";

/**
 * Which pages of the manual were opened in this browser while somebody was learning, and when last. A page notes it by itself. It shows
 * that the page was on the screen, not that it was read.
 */
export class OpenedPages {
  /** @param {import("../page/store.js").Store} store */
  constructor(store) {
    this.store = store;
  }

  /**
   * @param {string} person
   * @param {string} address
   */
  note(person, address) {
    this.store.set(keyOf(person), { ...this.#of(person), [pageOf(address)]: now() });
  }

  /**
   * Whether a person has had a page open, after a moment if one is given. Where the browser stores nothing nobody can know: then it is taken
   * to be so.
   *
   * @param {string} person
   * @param {string} address
   * @param {string} [after] a moment in universal time
   */
  had(person, address, after = "") {
    const at = this.#of(person)[pageOf(address)];
    return at === undefined ? !this.#keeps() : at > after;
  }

  /**
   * @param {string} person
   * @returns {Record<string, string>} moments by page
   */
  #of(person) {
    const kept = this.store.get(keyOf(person));
    return typeof kept === "object" && kept !== null ? /** @type {Record<string, string>} */ (kept) : {};
  }

  #keeps() {
    this.store.set("keeps", true);
    return this.store.get("keeps") === true;
  }
}

/** @param {string} person */
function keyOf(person) {
  return `opened:${person}`;
}

/**
 * The page of an address, however it is written.
 *
 * @param {string} address
 */
function pageOf(address) {
  return new URL(address).pathname.replace(/index\.html$/, "");
}
