/** Which edition each open page was served from, so that no page is given parts of another. */
export class OpenPages {
  /** @type {Promise<import("./stored-editions.js").Open> | undefined} */
  #open;

  /**
   * @param {import("./stored-editions.js").StoredEditions} kept
   * @param {string} own the edition of this worker
   * @param {() => Promise<import("./worker-types.js").Client[]>} pages those that are open
   */
  constructor(kept, own, pages) {
    this.kept = kept;
    this.own = own;
    this.pages = pages;
  }

  /**
   * This edition serves from now on. Pages that are open stay with the one they came from.
   *
   * @param {boolean} alone whether no newer edition is on its way: any other stored edition is then useless
   */
  async takeOver(alone) {
    const before = await this.kept.readOpen();
    /** @type {Record<string, string>} */
    const pages = {};
    for (const { id } of await this.pages()) {
      const edition = before.pages[id] ?? before.active;
      if (edition && edition !== this.own) pages[id] = edition;
    }
    await this.#write(pages, alone ? await this.kept.all() : [...before.old, before.active]);
  }

  /** Forgets pages that have gone, and removes the editions that none uses any more. */
  async tidy() {
    const { active, pages, old } = await this.#read();
    if (active !== this.own) return;
    const there = new Set((await this.pages()).map((page) => page.id));
    await this.#write(Object.fromEntries(Object.entries(pages).filter(([id]) => there.has(id))), old);
  }

  /**
   * @param {string} page
   * @returns {Promise<string[]>} its own edition first; the others, because parts of the engine are asked for by a
   *   worker whose page is not known, by names that say their content
   */
  async editionsFor(page) {
    const { pages } = await this.#read();
    return [...new Set([pages[page] ?? this.own, this.own, ...Object.values(pages)])];
  }

  #read() {
    this.#open ??= this.kept.readOpen();
    return this.#open;
  }

  /**
   * @param {Record<string, string>} pages
   * @param {string[]} candidates
   */
  async #write(pages, candidates) {
    const used = new Set([this.own, ...Object.values(pages)]);
    const others = candidates.filter((edition) => edition && edition !== this.own);
    const open = { active: this.own, pages, old: others.filter((edition) => used.has(edition)) };
    this.#open = Promise.resolve(open);
    await this.kept.writeOpen(open);
    for (const edition of others) if (!used.has(edition)) await this.kept.remove(edition);
  }
}
