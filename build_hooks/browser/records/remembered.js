import { now } from "./keys.js";

/** What a bench remembers from page to page: the job it works on, and who is working. */
export const JOB = "job";
export const WORKER = "worker";

const KIND = "remembered";
const NAMES = new Set([JOB, WORKER]);

/**
 * Texts that every page of this browser takes up again. They are in the browser's storage, which is read at once, and in the database as
 * well: a browser that is killed forgets the last seconds of the former.
 */
export class Remembered {
  /**
   * @param {object} given
   * @param {import("./record-database.js").RecordDatabase} given.records
   * @param {import("../page/store.js").Store} given.store of the browser
   */
  constructor({ records, store }) {
    this.records = records;
    this.store = store;
  }

  /**
   * @param {string} name
   * @returns {string | null} null when nothing was ever remembered
   */
  get(name) {
    const text = this.store.get(name);
    return typeof text === "string" ? text : null;
  }

  /**
   * @param {string} name
   * @param {string} text
   * @returns {Promise<boolean>} whether the database has it
   */
  set(name, text) {
    this.store.set(name, text);
    return this.records.put([{ kind: KIND, id: name, value: { id: name, at: now(), text } }]);
  }

  /** Takes from the database what the browser's storage has lost, or has in an older state. */
  async recover() {
    for (const { id, text } of await this.records.all(KIND)) {
      if (NAMES.has(id) && typeof text === "string" && this.get(id) !== text) this.store.set(id, text);
    }
  }
}
