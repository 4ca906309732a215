import { openDB } from "idb";

/**
 * @typedef {object} StoredRecord something that outlives the page
 * @property {string} kind what it is: `person`, `attempt`, a coming `job`...
 * @property {string} id one of its kind
 * @property {{at: string} & Record<string, any>} value plain data; `at` says when it was written, in universal time
 */

/** @typedef {"refused" | "full"} Trouble why what should be stored is only in the page */

/** @typedef {{key: [string, string], value: unknown, why: string}} Aside a stored record that cannot be read, and why */

/**
 * @typedef {object} Following records that are worked out from others
 * @property {string} kind of the others
 * @property {string} beginning of their ids
 * @property {(values: StoredRecord["value"][]) => StoredRecord[]} records made of their values
 */

const STORE = "records";

/** @typedef {CustomEvent<StoredRecord[] | null>} Change what was written; null where it may be anything */

/**
 * `change` (a `Change`) says that something was written, `elsewhere` before it that another tab has.
 *
 * Records of any kind in the browser's database, each written when it changes, and whole or not at all.
 * Nothing here leaves the machine. Where the browser refuses or is full, records stay in the page and are tried again with the next.
 */
export class RecordDatabase extends EventTarget {
  /** @type {Trouble | null} */
  trouble = null;
  /** @type {Promise<import("idb").IDBPDatabase> | null} */
  #open = null;
  /** @type {Map<string, StoredRecord>} what the database has not taken yet */
  #waiting = new Map();

  /** @type {Map<string, Aside>} records that cannot be read; they hide nothing else and stay until the reader removes them */
  #aside = new Map();
  /** @type {BroadcastChannel | null} informs the manual's other tabs of a change */
  #others = null;

  /**
   * @param {string} name of the database; it tells manuals apart that share one host, or one browser's store for all folders
   * @param {(kind: string, value: unknown) => string | null} [faultOf] what is wrong with a stored record, in words
   */
  constructor(name, faultOf = () => null) {
    super();
    this.name = name;
    this.faultOf = faultOf;
    try {
      this.#others = new BroadcastChannel(name);
      this.#others.onmessage = () => {
        this.dispatchEvent(new Event("elsewhere"));
        this.dispatchEvent(new CustomEvent("change", { detail: null }));
      };
    } catch {
      // A browser without channels: another tab is heard of at the next reload.
    }
  }

  /** @returns {Aside[]} the records that cannot be read, as far as they have been come across */
  get aside() {
    return Array.from(this.#aside.values());
  }

  /** Removes the records that cannot be read. */
  async removeAside() {
    const keys = this.aside.map(({ key }) => key);
    if (await this.#tried((store) => keys.map((key) => store.delete(key)))) this.#forgetAside(() => true);
    this.#changed(null);
  }

  /** @param {(key: [string, string]) => boolean} isGone */
  #forgetAside(isGone) {
    for (const [name, { key }] of this.#aside) if (isGone(key)) this.#aside.delete(name);
    this.dispatchEvent(new Event("trouble"));
  }

  /**
   * Every record of a kind.
   *
   * @param {string} kind
   * @returns {Promise<StoredRecord["value"][]>}
   */
  async all(kind) {
    return this.#sound(kind, [kind], [kind, []], () => true);
  }

  /**
   * The ids of every record of a kind, also of those that cannot be read.
   *
   * @param {string} kind
   * @returns {Promise<string[]>}
   */
  async keys(kind) {
    const stored = await this.#read((database) => database.getAllKeys(STORE, IDBKeyRange.bound([kind], [kind, []])));
    const waiting = Array.from(this.#waiting.values()).filter((record) => record.kind === kind);
    return Array.from(new Set([...stored.map((/** @type {[string, string]} */ [, id]) => id), ...waiting.map(({ id }) => id)]));
  }

  /**
   * Records of a kind whose id begins so, as far as they are sound.
   *
   * @param {string} kind
   * @param {string} beginning
   * @returns {Promise<StoredRecord["value"][]>}
   */
  async beginning(kind, beginning) {
    return this.#sound(kind, [kind, beginning], [kind, `${beginning}\uffff`], (id) => id.startsWith(beginning));
  }

  /**
   * @param {string} kind
   * @param {any[]} from
   * @param {any[]} to
   * @param {(id: string) => boolean} isMeant
   */
  async #sound(kind, from, to, isMeant) {
    /** @type {Map<string, StoredRecord["value"]>} */
    const found = new Map();
    for (const record of await this.#read((database) => database.getAll(STORE, IDBKeyRange.bound(from, to)))) {
      const why = faultOfStored(record) ?? this.faultOf(kind, record.value);
      if (why === null) found.set(record.id, record.value);
      else this.#setAside([kind, record.id], record.value, why);
    }
    for (const record of this.#waiting.values()) if (record.kind === kind && isMeant(record.id)) found.set(record.id, record.value);
    return Array.from(found.values());
  }

  /**
   * @param {[string, string]} key
   * @param {unknown} value
   * @param {string} why
   */
  #setAside(key, value, why) {
    const name = JSON.stringify(key);
    const known = this.#aside.has(name);
    this.#aside.set(name, { key, value, why });
    if (!known) this.dispatchEvent(new Event("trouble"));
  }

  /** @param {StoredRecord[] | null} written null where records are gone */
  #changed(written) {
    this.dispatchEvent(new CustomEvent("change", { detail: written }));
    this.#others?.postMessage("change");
  }

  /**
   * Writes records, all of them or none.
   *
   * @param {StoredRecord[]} records
   * @param {Following} [following] what is worked out from all that is stored then, also by other tabs
   * @returns {Promise<boolean>} whether they are in the database; if not, they are in the page and `trouble` says why
   */
  async put(records, following) {
    const wanted = [...this.#waiting.values(), ...records];
    /** @type {StoredRecord[]} */
    let workedOut = [];
    const isWritten = await this.#tried(async (store) => {
      await Promise.all(wanted.map((record) => store.put(record)));
      workedOut = following ? await this.#following(store, following) : [];
      return workedOut.map((record) => store.put(record));
    });
    for (const record of isWritten ? wanted : records) {
      if (!isWritten) this.#waiting.set(keyOf(record), record);
      else if (this.#waiting.get(keyOf(record)) === record) this.#waiting.delete(keyOf(record));
    }
    this.#changed(isWritten ? [...wanted, ...workedOut] : records);
    return isWritten;
  }

  /**
   * @param {any} store
   * @param {Following} following
   */
  async #following(store, { kind, beginning, records }) {
    const stored = /** @type {StoredRecord[]} */ (await store.getAll(IDBKeyRange.bound([kind, beginning], [kind, `${beginning}\uffff`])));
    return records(stored.filter((record) => (faultOfStored(record) ?? this.faultOf(kind, record.value)) === null).map(({ value }) => value));
  }

  /**
   * Takes in records from elsewhere, all of them or none. Of two with the same key, the one written later wins.
   *
   * @param {StoredRecord[]} records
   * @returns {Promise<boolean>} false when nothing was changed
   */
  async merge(records) {
    const isTaken = await this.#tried(async (store) => {
      // All at once: to ask for each record by itself takes half a minute for some ten thousand.
      const known = new Map((await store.getAll()).map((/** @type {StoredRecord} */ one) => [keyOf(one), one.value?.at]));
      const newer = records.filter((record) => !(known.get(keyOf(record)) >= record.value.at));
      return newer.map((record) => store.put(record));
    });
    if (isTaken) this.#changed(null);
    return isTaken;
  }

  /**
   * Adds records from elsewhere, all of them or none. What is there already is never written over.
   *
   * @param {StoredRecord[]} records
   * @param {(missing: StoredRecord[]) => StoredRecord[]} [more] records that follow from those that were missing; they may be written over
   * @returns {Promise<number | null>} how many were missing; null when nothing was changed
   */
  async addMissing(records, more = () => []) {
    let count = 0;
    /** @type {StoredRecord[]} */
    let written = [];
    const isTaken = await this.#tried(async (store) => {
      const known = new Set((await store.getAllKeys()).map((/** @type {[string, string]} */ key) => JSON.stringify(key)));
      const missing = records.filter((record) => !known.has(keyOf(record)));
      count = missing.length;
      written = [...missing, ...more(missing)];
      return written.map((record) => store.put(record));
    });
    if (isTaken) this.#changed(written);
    return isTaken ? count : null;
  }

  /**
   * Removes records.
   *
   * @param {string} kind
   * @param {string} beginning of their ids
   */
  async removeBeginning(kind, beginning) {
    for (const [key, record] of this.#waiting) if (record.kind === kind && record.id.startsWith(beginning)) this.#waiting.delete(key);
    const isGone = await this.#tried((store) => [store.delete(IDBKeyRange.bound([kind, beginning], [kind, `${beginning}\uffff`]))]);
    if (isGone) this.#forgetAside(([of, id]) => of === kind && id.startsWith(beginning));
    this.#changed(null);
  }

  /** Removes everything. */
  async clear() {
    this.#waiting.clear();
    if (await this.#tried((store) => [store.clear()])) this.#aside.clear();
    this.#changed(null);
  }

  /**
   * @param {(store: any) => unknown} work
   * @returns {Promise<boolean>} whether all of it was written; if not, `trouble` says why
   */
  async #tried(work) {
    try {
      await this.#write(work);
      this.#become(null);
      return true;
    } catch (fault) {
      this.#become(troubleOf(fault));
      return false;
    }
  }

  /**
   * @param {(store: any) => unknown} work
   */
  async #write(work) {
    const database = await this.#database();
    // Strict: it counts as written when it is on the disk, so that switching the machine off loses nothing that the page called recorded.
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

/**
 * @param {any} record as the database gives it
 * @returns {string | null} why it is no record at all
 */
function faultOfStored(record) {
  const { value } = record;
  if (typeof value !== "object" || value === null) return "it is empty";
  if (typeof record.id !== "string" || value.id !== record.id) return "its key is not its own";
  return typeof value.at === "string" ? null : "it does not say when it was written";
}

/** @param {StoredRecord} record */
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
