import { openDB } from "idb";

/**
 * @typedef {object} KeptRecord something that outlives the page
 * @property {string} kind what it is: `person`, `attempt`, a coming `job`...
 * @property {string} id one of its kind
 * @property {{at: string} & Record<string, any>} value plain data; `at` says when it was written, in universal time
 */

/** @typedef {"refused" | "full"} Trouble why what was to be kept is only in the page */

const STORE = "records";

/**
 * What is kept in the browser's database: records of any kind, each written when it changes and whole or not at all.
 * Nothing here leaves the machine. Where the browser refuses or is full, records stay in the page and are tried again with the next.
 */
export class Kept extends EventTarget {
  /** @type {Trouble | null} */
  trouble = null;
  /** @type {Promise<import("idb").IDBPDatabase> | null} */
  #open = null;
  /** @type {Map<string, KeptRecord>} what the database has not taken yet */
  #waiting = new Map();

  /** @param {string} name of the database; it tells manuals apart that share one host, or one browser's store for all folders */
  constructor(name) {
    super();
    this.name = name;
  }

  /**
   * Every record of a kind.
   *
   * @param {string} kind
   * @returns {Promise<KeptRecord["value"][]>}
   */
  async all(kind) {
    const found = new Map(
      (await this.#read((database) => database.getAll(STORE, IDBKeyRange.bound([kind], [kind, []])))).map(
        (/** @type {KeptRecord} */ record) => [record.id, record.value],
      ),
    );
    for (const record of this.#waiting.values()) if (record.kind === kind) found.set(record.id, record.value);
    return Array.from(found.values());
  }

  /**
   * Writes records, all of them or none.
   *
   * @param {KeptRecord[]} records
   * @returns {Promise<boolean>} whether they are in the database; if not, they are in the page and `trouble` says why
   */
  async put(records) {
    const wanted = [...this.#waiting.values(), ...records];
    try {
      await this.#write((store) => wanted.map((record) => store.put(record)));
      for (const record of wanted) if (this.#waiting.get(keyOf(record)) === record) this.#waiting.delete(keyOf(record));
      this.#become(null);
    } catch (fault) {
      for (const record of records) this.#waiting.set(keyOf(record), record);
      this.#become(troubleOf(fault));
    }
    this.dispatchEvent(new Event("change"));
    return this.trouble === null;
  }

  /**
   * Takes in records from elsewhere, all of them or none. Of two with one key the one written later stands.
   *
   * @param {KeptRecord[]} records
   * @returns {Promise<boolean>} false when nothing was changed
   */
  async merge(records) {
    try {
      await this.#write(async (store) => {
        for (const record of records) {
          const known = await store.get([record.kind, record.id]);
          if (!known || known.value.at < record.value.at) await store.put(record);
        }
      });
      this.#become(null);
    } catch (fault) {
      this.#become(troubleOf(fault));
      return false;
    }
    this.dispatchEvent(new Event("change"));
    return true;
  }

  /** Removes everything. */
  async clear() {
    this.#waiting.clear();
    try {
      await this.#write((store) => [store.clear()]);
    } catch (fault) {
      this.#become(troubleOf(fault));
    }
    this.dispatchEvent(new Event("change"));
  }

  /**
   * @param {(store: any) => unknown} work
   */
  async #write(work) {
    const database = await this.#database();
    // Strict: it counts as written when it is on the disk, so that a machine that is switched off loses nothing that was said to be kept.
    const change = database.transaction(STORE, "readwrite", { durability: "strict" });
    const done = change.done;
    done.catch(() => {}); // Told by the line below, also when the work fails first.
    try {
      const asked = await work(change.store);
      if (Array.isArray(asked)) await Promise.all(asked);
    } catch (fault) {
      abort(change);
      throw fault;
    }
    await done;
  }

  /**
   * @param {(database: import("idb").IDBPDatabase) => Promise<any>} read
   * @returns {Promise<any>} an empty list where the browser refuses
   */
  async #read(read) {
    try {
      return await read(await this.#database());
    } catch (fault) {
      this.#become(troubleOf(fault));
      return [];
    }
  }

  #database() {
    const forget = () => void (this.#open = null);
    this.#open ??= openDB(this.name, 1, {
      upgrade: (database) => void database.createObjectStore(STORE, { keyPath: ["kind", "id"] }),
      // A newer edition of the manual in another tab must not wait for this one.
      blocking: (_now, _next, event) => (/** @type {IDBDatabase} */ (event.target).close(), forget()),
      terminated: forget,
    }).catch((fault) => {
      forget();
      throw fault;
    });
    return this.#open;
  }

  /** @param {Trouble | null} trouble */
  #become(trouble) {
    if (trouble === this.trouble) return;
    this.trouble = trouble;
    this.dispatchEvent(new Event("trouble"));
  }
}

/** @param {KeptRecord} record */
function keyOf({ kind, id }) {
  return JSON.stringify([kind, id]);
}

/**
 * @param {unknown} fault
 * @returns {Trouble}
 */
function troubleOf(fault) {
  return fault instanceof DOMException && fault.name === "QuotaExceededError" ? "full" : "refused";
}

/** @param {{abort: () => void}} change */
function abort(change) {
  try {
    change.abort();
  } catch {
    // It has ended by itself.
  }
}
