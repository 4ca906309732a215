import { jobOf } from "../records/job-entries.js";
import { entriesIn, jobText } from "../records/job-file.js";
import { today } from "../records/keys.js";
import { whenQuiet } from "../page/when-quiet.js";
import { TEXTS } from "./jobs-texts.js";
import { FolderFault, FolderRequests, LARGEST, isStrong } from "./folder-requests.js";
import { oneAtATime } from "./one-at-a-time.js";

/**
 * Jobs that several devices have in common: a folder of a server, a file for each job. A file is read when it has changed, its entries are
 * added to those here, and what it lacks is written back as the whole of both. So every device comes to hold every entry, whichever was cut
 * off and for how long. A write that went wrong on the server, or was lost there, is found by the next look and made good.
 *
 * @typedef {import("../records/job-entries.js").Listed} Listed
 * @typedef {import("./folder-requests.js").FolderTrouble | "unserved" | "looking" | "unanswered" | "current" | "behind"} FolderState
 */

/**
 * @typedef {object} Known what this browser remembers of the folder
 * @property {string} address
 * @property {Record<string, {tag: string | null, keys: number, large?: boolean}>} jobs the version that was read or written last, and how many
 *   of the entries here are surely in it; `large` for one whose file would be larger than any that is read
 * @property {Record<string, {tag: string, why: string}>} aside files that cannot be taken, in the version that was tried
 */

const KNOWN = "shared-folder";
const REMOVED = "shared-removed";
const SINCE = "shared-unreachable";
const CHECKED = "shared-conditions";
const PAUSED = "shared-paused";
const TURN = "shared-turn";
const EVERY = 20_000; // Milliseconds between two looks while the page is seen.
const LONGEST = 600_000;
const AFTER_ENTRY = 3_000;
const VERIFY = 2_000; // Of a server that does not say which version it has written.
const BUSY = 2_500; // Another tab is at it.
const FRESH = 1_200; // Some servers call a file's tag weak for a second after it was written.
const BATCH = 20;
const ATTEMPTS = 5;
const QUICK = 5; // Looks in a row that follow soon, because something was left over.
const SILENCE = 30_000; // Without an answer, after which the page says so.
const SLOW = /** @type {Set<string>} */ (new Set(["refused", "missing", "no-list", "no-tags", "unsafe", "storage", "full"]));

export class SharedFolder extends EventTarget {
  /** @type {FolderState} */
  state = "looking";
  /** The server's answer, where that is the trouble. */
  status = 0;
  /** Entries that are not there yet. */
  count = 0;
  #fails = 0;
  #running = false;
  #again = false;
  #unverified = false;
  #quick = 0;
  /** Entries of the folder are being added: that is no reason to look there again. */
  #taking = false;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #timer;
  #due = Infinity;

  /**
   * @param {object} given
   * @param {import("./jobs.js").Jobs} given.jobs
   * @param {import("../page/store.js").Store} given.store of the browser
   * @param {import("../page/store.js").Store} given.tab of this tab
   * @param {string} given.address of the folder, with a slash at its end
   */
  constructor({ jobs, store, tab, address }) {
    super();
    this.jobs = jobs;
    this.store = store;
    this.tab = tab;
    this.address = address;
    this.requests = new FolderRequests(address);
  }

  /** @returns {{job: string, why: string}[]} files that cannot be taken; they stay as they are */
  get aside() {
    return Object.entries(this.#known().aside).map(([job, { why }]) => ({ job, why }));
  }

  /** @returns {string[]} jobs that were deleted here and are still in the folder */
  get removed() {
    const removed = this.store.get(REMOVED);
    return Array.isArray(removed) ? removed : [];
  }

  /** @returns {string[]} jobs that are too large to be shared */
  get large() {
    return Object.entries(this.#known().jobs).flatMap(([job, { large }]) => (large ? [job] : []));
  }

  /** @returns {string | null} since when the folder cannot be reached, in universal time */
  get since() {
    const since = this.store.get(SINCE);
    return typeof since === "string" ? since : null;
  }

  start() {
    if (location.protocol === "file:") return this.#become("unserved");
    window.addEventListener("online", () => this.look());
    document.addEventListener("visibilitychange", () => this.#seen());
    this.jobs.records.addEventListener("change", () => this.#changed());
    this.jobs.addEventListener("removed", (event) => this.#leaveOut(/** @type {CustomEvent<string>} */ (event).detail));
    if (this.tab.get(PAUSED)) return this.#become("password"); // The browser would ask for it again on every page.
    whenQuiet(() => this.#plan(0));
  }

  /** Looks now, whatever went wrong before. */
  look() {
    this.#fails = 0;
    this.tab.remove(PAUSED);
    if (this.state === "unanswered") this.requests.stop();
    this.#become("looking");
    this.#plan(0);
  }

  /** Takes back what was deleted here. */
  bringBack() {
    this.store.remove(REMOVED);
    this.look();
  }

  #seen() {
    if (document.visibilityState === "visible") this.#plan(0);
    else if (this.#due < Date.now() + AFTER_ENTRY) this.#plan(0); // An entry was just made: it goes before the page is laid aside.
    else this.#plan(Infinity);
  }

  #changed() {
    if (document.visibilityState !== "visible" || this.#taking) return;
    if (this.#fails === 0 && this.state !== "unanswered") this.#plan(Math.min(AFTER_ENTRY, this.#due - Date.now()));
    else void this.#counted().then(() => this.dispatchEvent(new Event("change")));
  }

  /** @param {string} job */
  #leaveOut(job) {
    const known = this.#known();
    if (!(job in known.jobs)) return;
    delete known.jobs[job];
    this.#keep(known);
    this.store.set(REMOVED, [...this.removed.filter((one) => one !== job), job]);
    this.dispatchEvent(new Event("change"));
  }

  /** @param {number} wait in milliseconds */
  #plan(wait) {
    clearTimeout(this.#timer);
    if (this.tab.get(PAUSED)) return;
    this.#due = Date.now() + wait;
    if (wait !== Infinity) this.#timer = setTimeout(() => void this.#run(), Math.max(0, wait));
  }

  async #run() {
    if (this.#running) return void (this.#again = true);
    this.#running = true;
    this.#due = Infinity;
    let wait = EVERY;
    try {
      this.#unverified = false;
      const done = await oneAtATime(this.store, TURN, () => this.#round());
      this.#fails = 0;
      if (!done) wait = BUSY;
      else if ((this.#unverified || this.count > 0) && this.#quick < QUICK) [wait, this.#quick] = [VERIFY, this.#quick + 1];
      else this.#quick = 0;
    } catch (fault) {
      wait = await this.#failed(fault);
    }
    this.#running = false;
    const soon = this.#again ? 0 : Math.min(wait, this.#due - Date.now());
    this.#again = false;
    if (document.visibilityState === "visible" || soon === 0) this.#plan(soon);
  }

  /**
   * @param {unknown} fault
   * @returns {Promise<number>} how long to wait before the next look
   */
  async #failed(fault) {
    const { trouble, status } = fault instanceof FolderFault ? fault : new FolderFault("storage");
    if (!(fault instanceof FolderFault)) console.error(fault);
    if (trouble === "password") this.tab.set(PAUSED, true);
    if (trouble === "unreachable" || trouble === "server") this.#sinceNow();
    await this.#counted();
    this.#become(trouble, status);
    const wait = SLOW.has(trouble) ? LONGEST : Math.min(LONGEST, EVERY * 2 ** this.#fails);
    this.#fails += 1;
    return wait * (0.75 + Math.random() / 2); // Not all tablets of a shop at the same moment.
  }

  /** One look at the folder, and all that follows from it. */
  async #round() {
    const listed = await this.#listed();
    this.store.remove(SINCE);
    const known = this.#known();
    for (const job of Object.keys(known.aside)) if (known.aside[job]?.tag !== listed.get(job)) delete known.aside[job];
    const removed = await this.#stillRemoved();
    const here = await this.#keys();
    const changed = Array.from(listed.entries()).filter(([job, tag]) => {
      const before = known.jobs[job];
      return !removed.has(job) && known.aside[job]?.tag !== tag && (before?.tag !== tag || before.keys !== (here.get(job) ?? 0));
    });
    /** @type {[string, string | null][]} jobs of which the folder lacks something, with the version there */
    const lacking = Array.from(here.keys(), (job) => /** @type {[string, null]} */ ([job, null])).filter(([job]) => !listed.has(job));
    for (let at = 0; at < changed.length; at += BATCH) {
      lacking.push(...(await this.#takeIn(known, changed.slice(at, at + BATCH))));
      this.#keep(known);
    }
    if (lacking.length > 0) await this.#needConditions();
    for (const [job, tag] of lacking) {
      await this.#write(known, job, tag);
      this.#keep(known);
    }
    await this.#counted();
    if (!this.#again) this.#become(this.count > 0 ? "behind" : "current"); // Else somebody wants to know how it is by now.
  }

  /** The browser may be asking for a password by now: its question would go away with the request. So only the words change. */
  async #listed() {
    const clock = setTimeout(() => void this.#unanswered(), SILENCE);
    return this.requests.list().finally(() => clearTimeout(clock));
  }

  async #unanswered() {
    this.#sinceNow();
    this.#become("unanswered");
    await this.#counted();
    this.dispatchEvent(new Event("change"));
  }

  #sinceNow() {
    this.store.set(SINCE, this.since ?? new Date().toISOString());
  }

  /**
   * Reads files and adds their entries to those here.
   *
   * @param {Known} known
   * @param {[string, string][]} files job and tag
   * @returns {Promise<[string, string][]>} those that lack entries of this browser
   */
  async #takeIn(known, files) {
    /** @type {{job: string, tag: string, entries: Listed[]}[]} */
    const read = [];
    for (const [job, tag] of files) {
      const entries = await this.#entriesOf(known, job, tag);
      if (entries) read.push({ job, tag, entries });
    }
    await this.#add(read);
    /** @type {[string, string][]} */
    const lacking = [];
    const here = await this.#keys();
    for (const { job, tag, entries } of read) {
      const there = new Set(entries.map(({ value }) => value.id));
      const lacks = (await this.jobs.entriesOf(job)).some(({ value }) => !there.has(value.id));
      if (lacks) lacking.push([job, tag]);
      // The tag is older than what was read, or of the same version: a change in between shows at the next look.
      known.jobs[job] = { tag, keys: lacks ? entries.length : (here.get(job) ?? 0) };
      if (!isStrong(tag)) this.#unverified = true;
    }
    return lacking;
  }

  /** @param {{job: string, entries: Listed[]}[]} read */
  async #add(read) {
    const missing = [];
    for (const { job, entries } of read) {
      const here = new Set((await this.jobs.entriesOf(job)).map(({ value }) => value.id));
      missing.push(...entries.filter(({ value }) => !here.has(value.id)));
    }
    if (missing.length === 0) return;
    this.#taking = true;
    const taken = await this.jobs.takeIn(missing).finally(() => (this.#taking = false));
    if (taken === null) throw new FolderFault("storage");
  }

  /**
   * @param {Known} known
   * @param {string} job
   * @param {string} tag
   * @returns {Promise<Listed[] | null>} null for a file that cannot be taken: it is set aside, and stays as it is
   */
  async #entriesOf(known, job, tag) {
    const found = await this.#fileOf(job);
    if (found === null) return null; // Gone in this moment.
    if ("entries" in found) return found.entries;
    known.aside[job] = { tag, why: found.refused };
    return null;
  }

  /**
   * @param {string} job
   * @returns {Promise<{entries: Listed[]} | {refused: string} | null>}
   */
  async #fileOf(job) {
    try {
      const text = await this.requests.read(job);
      const found = text === null ? null : entriesIn(text, this.jobs.manual);
      return found && "entries" in found && hasStranger(job, found.entries) ? { refused: TEXTS.shared.stranger } : found;
    } catch (fault) {
      if (fault instanceof FolderFault && fault.trouble === "large") return { refused: TEXTS.shared.largeFile };
      throw fault;
    }
  }

  /**
   * Writes all that is here of a job, over the version that was read and no other.
   *
   * @param {Known} known
   * @param {string} job
   * @param {string | null} tag
   */
  async #write(known, job, tag) {
    for (let attempt = 0; attempt < ATTEMPTS; attempt += 1) {
      if (tag !== null && !isStrong(tag)) {
        await pause(FRESH);
        tag = await this.requests.tagOf(job);
      } else {
        const written = await this.#writeOnce(known, job, tag);
        if (written) return;
        await pause(Math.random() * 300 * (attempt + 1));
        // Somebody was faster: theirs is added to ours, and both are written.
        tag = await this.requests.tagOf(job);
      }
      if (tag !== null && (await this.#takeIn(known, [[job, tag]])).length === 0) return;
    }
    if (tag !== null && !isStrong(tag)) throw new FolderFault("no-tags");
    this.#unverified = true;
  }

  /**
   * @param {Known} known
   * @param {string} job
   * @param {string | null} tag
   * @returns {Promise<boolean>} whether nothing more is to be done now
   */
  async #writeOnce(known, job, tag) {
    const count = (await this.#keys()).get(job) ?? 0;
    const entries = await this.jobs.entriesOf(job);
    const text = jobText(entries, this.jobs.manual);
    const written = entries.length > 0 && new Blob([text]).size <= LARGEST ? await this.#sent(job, text, tag) : "not";
    if (written === null) return false;
    // What cannot be written is not tried again until something changes.
    if (written === "not") known.jobs[job] = { tag, keys: count, large: entries.length > 0 };
    else if (written.tag) known.jobs[job] = { tag: written.tag, keys: count };
    else {
      known.jobs[job] = { tag: null, keys: known.jobs[job]?.keys ?? 0 };
      this.#unverified = true;
    }
    return true;
  }

  /**
   * @param {string} job
   * @param {string} text
   * @param {string | null} tag
   */
  async #sent(job, text, tag) {
    try {
      return await this.requests.write(job, text, tag);
    } catch (fault) {
      if (fault instanceof FolderFault && fault.trouble === "large") return "not";
      throw fault;
    }
  }

  /** Once a day: a server that writes over whatever is there would lose entries of others. */
  async #needConditions() {
    const wanted = `${this.address} ${today()}`;
    if (this.store.get(CHECKED) === wanted) return;
    await this.requests.needConditions(this.jobs.manual);
    this.store.set(CHECKED, wanted);
  }

  /** @returns {Promise<Map<string, number>>} how many entries each job has here */
  async #keys() {
    /** @type {Map<string, number>} */
    const counts = new Map();
    for (const id of await this.jobs.records.keys("entry")) counts.set(jobOf(id), (counts.get(jobOf(id)) ?? 0) + 1);
    return counts;
  }

  /** Jobs that were deleted here, and have not come back from a file since. */
  async #stillRemoved() {
    if (this.removed.length === 0) return new Set();
    const here = await this.#keys();
    const still = this.removed.filter((job) => !here.has(job));
    if (still.length < this.removed.length) this.store.set(REMOVED, still);
    return new Set(still);
  }

  async #counted() {
    const { jobs, aside } = this.#known();
    const here = Array.from(await this.#keys());
    this.count = here.reduce((sum, [job, count]) => sum + (aside[job] ? 0 : Math.max(0, count - (jobs[job]?.keys ?? 0))), 0);
  }

  /** @returns {Known} */
  #known() {
    const kept = /** @type {any} */ (this.store.get(KNOWN));
    const sound = kept?.address === this.address && typeof kept.jobs === "object" && typeof kept.aside === "object";
    return sound ? kept : { address: this.address, jobs: {}, aside: {} };
  }

  /** @param {Known} known */
  #keep(known) {
    this.store.set(KNOWN, known);
  }

  /**
   * @param {FolderState} state
   * @param {number} [status]
   */
  #become(state, status = 0) {
    this.state = state;
    this.status = status;
    this.dispatchEvent(new Event("change"));
  }
}

/**
 * @param {string} job
 * @param {Listed[]} entries
 */
function hasStranger(job, entries) {
  return entries.some(({ value }) => jobOf(value.id) !== job);
}

/** @param {number} wait in milliseconds */
function pause(wait) {
  return new Promise((done) => setTimeout(done, wait));
}
