/**
 * Browser storage that never throws: it may be switched off, full, or refused on file:// pages. Keys carry the place of
 * the manual, because on file:// every folder shares one store.
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
   * @returns {unknown} what was kept, or null
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
      // Not kept: what is typed still stands in the page.
    }
  }

  /** @param {string} key */
  remove(key) {
    try {
      this.storage().removeItem(this.prefix + key);
    } catch {
      // Nothing was kept either.
    }
  }
}
