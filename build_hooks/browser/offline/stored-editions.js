/**
 * The editions that this browser has stored, one cache each. Their names begin with the manual's address, because all
 * manuals of a host share one store.
 */

const LIST = "?benchleaf-list"; // No file has this address; it is written last, so that only a whole edition has it.
const PAGES = "pages";

/**
 * @typedef {object} Open
 * @property {string} active the edition that is served
 * @property {Record<string, string>} pages the older editions that open pages came from, by the page's id
 * @property {string[]} old editions that may go as soon as no page uses them
 */

export class StoredEditions {
  /** @param {string} root address of the manual's root */
  constructor(root) {
    this.root = root;
    this.prefix = `benchleaf:${new URL(root).pathname}:`;
  }

  /** @param {string} edition */
  nameOf(edition) {
    return this.prefix + edition;
  }

  /** @param {string} path */
  addressOf(path) {
    return new URL(path.split("/").map(encodeURIComponent).join("/"), this.root).href;
  }

  /** @returns {Promise<string[]>} editions, whole or not */
  async all() {
    const names = (await caches.keys()).filter((name) => name.startsWith(this.prefix));
    return names.map((name) => name.slice(this.prefix.length)).filter((edition) => edition !== PAGES);
  }

  /** @param {string} edition */
  open(edition) {
    return caches.open(this.nameOf(edition));
  }

  /**
   * File by file: a cache that is deleted whole takes up its room as long as anything still uses it.
   *
   * @param {string} edition
   */
  async remove(edition) {
    const cache = await this.open(edition);
    await Promise.all((await cache.keys()).map((file) => cache.delete(file)));
    await caches.delete(this.nameOf(edition));
  }

  /** Keeps nothing of this manual any more. */
  async removeAll() {
    for (const edition of [...(await this.all()), PAGES]) await this.remove(edition);
  }

  /**
   * @param {string} edition
   * @param {string} path
   * @returns {Promise<Response | undefined>}
   */
  file(edition, path) {
    return caches.match(this.addressOf(path), { cacheName: this.nameOf(edition), ignoreVary: true });
  }

  /**
   * @param {string} edition
   * @returns {Promise<Record<string, string> | null>} the hashes of its files by path; null when it is not whole
   */
  async listOf(edition) {
    const list = await caches.match(this.root + LIST, { cacheName: this.nameOf(edition) });
    return list ? list.json() : null;
  }

  /**
   * Declares an edition whole, if it is.
   *
   * @param {string} edition
   * @param {Readonly<Record<string, string>>} files
   */
  async complete(edition, files) {
    const cache = await this.open(edition);
    // Another worker may have tidied it away meanwhile.
    const missing = Object.keys(files).length - (await cache.keys()).length;
    if (missing !== 0) throw new Error(`${missing} files are missing in the store`);
    await cache.put(this.root + LIST, new Response(JSON.stringify(files)));
  }

  /** @returns {Promise<Open>} */
  async readOpen() {
    const kept = await caches.match(this.root, { cacheName: this.nameOf(PAGES) });
    return kept ? kept.json() : { active: "", pages: {}, old: [] };
  }

  /** @param {Open} open */
  async writeOpen(open) {
    await (await this.open(PAGES)).put(this.root, new Response(JSON.stringify(open)));
  }
}
