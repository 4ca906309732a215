import { faultOfStoredJob } from "../records/job-file.js";
import { jobOf } from "../records/job-entries.js";
import { newKey, now } from "../records/keys.js";
import { lastAnswers, standingOf } from "./standing.js";
import { isIn } from "./verdicts.js";

/**
 * @typedef {import("../records/job-entries.js").Entry} Entry
 * @typedef {import("../records/job-entries.js").Listed} Listed
 * @typedef {import("./standing.js").Standing} Standing
 */

/**
 * @typedef {object} Summary what the list of jobs shows of one; worked out from its entries, and made anew with each
 * @property {string} id
 * @property {string} at when its newest entry was noted
 * @property {string} number
 * @property {string} unit
 * @property {string} serial
 * @property {string} complaint
 * @property {string} technician
 * @property {"open" | "closed"} state
 * @property {string} opened
 * @property {string} closed
 * @property {string[]} people
 * @property {string[]} parts replaced, with their numbers
 * @property {string} stopped where the work stopped
 * @property {number} answers
 */

const CURRENT = "job";
const WORKER = "worker";
const DEVICE = "device";

/** The jobs of this bench. An entry belongs to the job that this page shows at that moment; another tab's choice does not change it. */
export class Jobs extends EventTarget {
  /** @type {Listed[]} of the current job */
  #entries = [];
  /** Changes are written one after the other, so that each sees what the one before has added. */
  #last = Promise.resolve();

  /**
   * @param {object} given
   * @param {import("../records/record-database.js").RecordDatabase} given.records
   * @param {import("../page/store.js").Store} given.store of the browser: for tabs that have not chosen a job yet
   * @param {import("../page/store.js").Store} given.tab of this tab
   * @param {string} given.edition of the manual
   * @param {string} given.manual the shop's name
   */
  constructor({ records, store, tab, edition, manual }) {
    super();
    this.records = records;
    this.store = store;
    this.tab = tab;
    this.edition = edition;
    this.manual = manual;
    const chosen = tab.get(CURRENT) ?? store.get(CURRENT);
    /** @type {string | null} key of the job that this page works on */
    this.current = typeof chosen === "string" && chosen !== "" ? chosen : null;
    /** @type {Standing | null} what stands in it; null without a job */
    this.standing = null;
    this.ready = this.#load();
    records.addEventListener("change", () => void this.#reload());
    records.addEventListener("trouble", () => this.dispatchEvent(new Event("trouble")));
  }

  /** Who is working: goes with every entry. */
  get worker() {
    const name = this.store.get(WORKER);
    return typeof name === "string" ? name : "";
  }

  /** @param {string} name */
  set worker(name) {
    this.store.set(WORKER, name.trim().replace(/\s+/g, " ").slice(0, 80));
    this.dispatchEvent(new Event("change"));
  }

  get isOpen() {
    return this.standing?.state === "open";
  }

  /** @returns {Promise<Summary[]>} every job, the newest change first */
  async summaries() {
    const all = /** @type {Summary[]} */ (await this.records.all("job"));
    return all.sort((one, other) => (one.at < other.at ? 1 : -1));
  }

  /**
   * @param {string} job
   * @returns {Promise<Listed[]>}
   */
  async entriesOf(job) {
    const stored = await this.records.beginning("entry", `${job}/`);
    return stored.map(({ list, entry }) => ({ list, value: entry }));
  }

  /**
   * Opens a new job and works on it.
   *
   * @param {Record<string, string>} details
   */
  async open(details) {
    const job = newKey();
    void navigator.storage?.persist?.().catch(() => false); // So that a full disk does not sweep jobs away.
    await this.#add(job, [], [["states", { state: "open" }], ["details", details]]);
    await this.choose(job);
    return job;
  }

  /** @param {string | null} job */
  async choose(job) {
    this.current = job;
    this.tab.set(CURRENT, job ?? "");
    this.store.set(CURRENT, job ?? "");
    this.ready = this.#load();
    await this.ready;
  }

  /**
   * Notes something in the current job.
   *
   * @param {string} list of the file
   * @param {Record<string, unknown>} value
   * @returns {Promise<boolean>} whether the browser has it; without an open job nothing is noted
   */
  note(list, value) {
    const job = this.current;
    const done = this.#last.then(async () => {
      if (!job || (job === this.current && this.standing?.state !== "open")) return false;
      if (job !== this.current) return this.#add(job, await this.entriesOf(job), [[list, value]]);
      return this.#add(job, this.#entries, [[list, value]]);
    });
    this.#last = done.then(() => {}, () => {}); // prettier-ignore
    return done;
  }

  /** @param {"open" | "closed"} state */
  async setState(state) {
    if (!this.current) return;
    await this.#add(this.current, this.#entries, [["states", { state }]]);
  }

  /** @param {string} job */
  async remove(job) {
    if (job === this.current) await this.choose(null);
    await this.records.removeBeginning("entry", `${job}/`);
    await this.records.removeBeginning("job", job);
    this.dispatchEvent(new CustomEvent("removed", { detail: job }));
  }

  /**
   * Adds the entries of a file that are not here yet.
   *
   * @param {Listed[]} entries of any number of jobs
   * @returns {Promise<number | null>} how many there were; null when nothing was changed
   */
  async takeIn(entries) {
    /** @type {Map<string, Listed[]>} */
    const known = new Map();
    for (const job of new Set(entries.map(({ value }) => jobOf(value.id)))) known.set(job, await this.entriesOf(job));
    return this.records.addMissing(entries.map(asStored), (missing) => {
      for (const { value } of missing) known.get(jobOf(value.id))?.push({ list: value.list, value: value.entry });
      const changed = new Set(missing.map(({ id }) => jobOf(id)));
      return Array.from(changed, (job) => summaryRecord(job, known.get(job) ?? []));
    });
  }

  /**
   * @param {string} job
   * @param {Listed[]} before
   * @param {[string, Record<string, unknown>][]} noted
   */
  async #add(job, before, noted) {
    const common = { person: this.worker, device: this.#device(), edition: this.edition };
    const added = noted.map(([list, value]) => {
      return { list, value: /** @type {Entry} */ ({ id: `${job}/${newKey()}`, at: now(), ...common, ...value }) };
    });
    for (const { list, value } of added) {
      const wrong = faultOfStoredJob("entry", { id: value.id, list, entry: value });
      if (wrong) throw new Error(`An entry of “${list}” cannot be noted: ${wrong}.`);
    }
    const entries = [...before, ...added];
    if (job === this.current) {
      this.#entries = entries;
      this.#stand();
    }
    const kept = await this.records.put([...added.map(asStored), summaryRecord(job, entries)]);
    return kept;
  }

  async #load() {
    const job = this.current;
    const entries = job ? await this.entriesOf(job) : [];
    if (job !== this.current) return;
    if (job && entries.length === 0) this.current = null; // It was removed, or this browser has lost it.
    this.#entries = entries;
    this.#stand();
  }

  /** Another tab, or a file, may have added to it. */
  async #reload() {
    const job = this.current;
    if (job) {
      const entries = await this.entriesOf(job);
      if (job === this.current && entries.length > this.#entries.length) {
        this.#entries = entries;
        this.#stand();
        this.dispatchEvent(new Event("taken"));
      }
    }
    this.dispatchEvent(new Event("list"));
  }

  #stand() {
    this.standing = this.current ? standingOf(this.#entries) : null;
    const root = document.documentElement;
    if (this.standing) root.dataset.job = this.standing.details.number || /** @type {string} */ (this.current);
    else delete root.dataset.job;
    this.dispatchEvent(new Event("change"));
  }

  #device() {
    const known = this.store.get(DEVICE);
    if (typeof known === "string" && /^[0-9a-f]{16}$/.test(known)) return known;
    const made = newKey();
    this.store.set(DEVICE, made);
    return made;
  }
}

/** @param {Listed} entry */
function asStored({ list, value }) {
  return { kind: "entry", id: value.id, value: { id: value.id, at: value.at, list, entry: value } };
}

/**
 * @param {string} job
 * @param {Listed[]} entries
 */
function summaryRecord(job, entries) {
  const standing = standingOf(entries);
  /** @type {Summary} */
  const value = {
    id: job,
    at: standing.changed,
    ...standing.details,
    state: standing.state,
    opened: standing.opened,
    closed: standing.closed,
    people: standing.people,
    parts: Object.values(standing.parts).map(({ part, number }) => `${part} ${number}`.trim()),
    stopped: whereStopped(standing),
    answers: standing.answers.length,
  };
  return { kind: "job", id: job, value };
}

/**
 * What lies open: where the work stopped, and what is not in its limits.
 *
 * @param {Standing} standing
 * @returns {string[]}
 */
export function openThings(standing) {
  const holds = Object.values(standing.pages)
    .filter(({ last }) => last.next !== "")
    .map(({ title, last }) => `${title}: ${last.done} of ${last.total} holds ticked. Next: ${last.next}`);
  const verdicts = lastAnswers(standing)
    .filter((answer) => !isIn(/** @type {any} */ (answer)) && !standing.accepted[answer.id])
    .map((answer) => `${answer.title}: ${answer.shown.advice ?? answer.shown.verdict ?? ""}`);
  return [...holds, ...verdicts];
}

/** @param {Standing} standing */
function whereStopped(standing) {
  return openThings(standing).join(" · ").slice(0, 400);
}
