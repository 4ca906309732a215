/**
 * Browser storage that never throws: it may be switched off, full, or refused on file:// pages. Keys begin with the
 * manual's address, because on file:// all folders share one storage.
 */
export class Store {
  /**
   * @param {() => Storage} storage
   * @param {string} prefix
   */
  constructor(storage, prefix) {
    this.storage = storage;
    this.prefix = prefix;
  }

  /**
   * @param {string} key
   * @returns {unknown} what was stored, or null
   */
  get(key) {
    try {
      return JSON.parse(this.storage().getItem(this.prefix + key) ?? "null");
    } catch {
      return null;
    }
  }

  /**
   * @param {string} key
   * @param {unknown} value
   */
  set(key, value) {
    try {
      this.storage().setItem(this.prefix + key, JSON.stringify(value));
    } catch {
      // Not stored: what was typed is still in the page.
    }
  }

  /** @param {string} key */
  remove(key) {
    try {
      this.storage().removeItem(this.prefix + key);
    } catch {
      // Then nothing was stored either.
    }
  }
}
