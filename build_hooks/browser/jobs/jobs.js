import { faultOfStoredJob } from "../records/job-file.js";
import { jobOf } from "../records/job-entries.js";
import { laterThan, newKey, now } from "../records/keys.js";
import { JOB, Remembered, WORKER } from "../records/remembered.js";
import { measuredRows } from "./sheet-rows.js";
import { TEXTS } from "./jobs-texts.js";
import { isOutdated, lastAnswers, progressOf, standingOf, unanswered } from "./standing.js";
import { isIn } from "./verdicts.js";
import { wordsOf } from "./noted.js";

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
 * @property {{what: string, pack: string, exact: string, bounds: {min: string, max: string}, size: string}[]} measured what it came to
 */

const DEVICE = "device";
const UNWRITTEN = "unwritten";
const LONGEST_STOPPED = 400; // Characters of the list of jobs; the tag has all that is open.

/** @typedef {{job: string, list: string, at: string, value: Record<string, unknown>}} Note an entry on its way, with its key; by whom and when it was noted */

/** The jobs of this bench. An entry belongs to the job that this page shows at that moment; another tab's choice does not change it. */
export class Jobs extends EventTarget {
  /** @type {Listed[]} of the current job */
  #entries = [];
  /** Changes are written one after the other, so that each sees what the one before has added. */
  #last = Promise.resolve();
  #loads = 0;
  /** @type {Set<Note>} what the database does not have yet */
  #unwritten = new Set();
  /** @type {Map<string, Summary> | null} of every job, by its key; null when it must be read again */
  #summaries = null;
  /** @type {Promise<Map<string, Summary>> | null} a reading that nothing has been written since */
  #reading = null;

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
    this.remembered = new Remembered({ records, store });
    /** @type {string | null} key of the job that this page works on */
    this.current = this.#chosen();
    /** @type {Standing | null} what stands in it; null without a job */
    this.standing = null;
    this.ready = this.#begin();
    window.addEventListener("pagehide", () => this.#leavePage());
    records.addEventListener("change", (change) => this.#summariesChanged(/** @type {import("../records/record-database.js").Change} */ (change).detail));
    records.addEventListener("elsewhere", () => void this.#reload());
    records.addEventListener("trouble", () => this.dispatchEvent(new Event("trouble")));
  }

  /** Who is working: goes with every entry. */
  get worker() {
    return this.remembered.get(WORKER) ?? "";
  }

  /** @param {string} name */
  set worker(name) {
    void this.remembered.set(WORKER, name.trim().replace(/\s+/g, " ").slice(0, 80));
    this.dispatchEvent(new Event("change"));
  }

  /** @returns {Promise<Summary[]>} every job, the newest change first */
  async summaries() {
    const known = this.#summaries ?? (await this.#readSummaries());
    return Array.from(known.values()).sort((one, other) => (one.at < other.at ? 1 : -1));
  }

  /** Every part of a page asks for them at every change: those of thousands of jobs are read once. */
  async #readSummaries() {
    const reading = (this.#reading ??= this.#storedSummaries());
    const found = await reading;
    if (this.#reading !== reading) return found; // Something was written meanwhile.
    if (this.records.trouble === null) this.#summaries = found;
    else this.#reading = null; // What could not be read now may be read the next time.
    return found;
  }

  async #storedSummaries() {
    const stored = await this.records.all("job");
    const all = await Promise.all(stored.map(async (one) => (isSummary(one) ? one : summaryOf(one.id, await this.entriesOf(one.id)))));
    return new Map(all.map((one) => [one.id, one]));
  }

  /** @param {import("../records/record-database.js").StoredRecord[] | null} written null where it may be anything */
  #summariesChanged(written) {
    const jobs = written?.filter(({ kind }) => kind === "job") ?? null;
    if (jobs?.length === 0) return;
    this.#reading = null; // Whoever asks now is to hear of it, though a reading began before.
    if (jobs === null) this.#summaries = null;
    for (const { id, value } of jobs ?? []) this.#summaries?.set(id, /** @type {any} */ (value));
  }

  /**
   * @param {string} job
   * @returns {Promise<Listed[]>}
   */
  async entriesOf(job) {
    const stored = await this.records.beginning("entry", `${job}/`);
    return stored.map(listed);
  }

  /**
   * Opens a new job and works on it.
   *
   * @param {Record<string, string>} details
   */
  async open(details) {
    const job = newKey();
    void navigator.storage?.persist?.().catch(() => false); // So that a full disk does not sweep jobs away.
    await this.#add(job, [], "", now(), [["states", { state: "open" }], ["details", details]]);
    await this.choose(job);
    return job;
  }

  /**
   * Goes to another job. Until it is read the page shows the one before, and what is noted belongs to that.
   *
   * @param {string | null} job
   */
  async choose(job) {
    this.dispatchEvent(new Event("leave")); // What was typed a moment ago is noted first.
    this.tab.set(JOB, job ?? "");
    const kept = this.remembered.set(JOB, job ?? "");
    this.ready = this.#last.then(() => this.#load(job));
    await Promise.all([this.ready, kept]);
  }

  /**
   * Notes something in the current job.
   *
   * @param {string} list of the file
   * @param {Record<string, unknown>} value
   * @returns {Promise<boolean>} whether the browser has it; without an open job nothing is noted
   */
  note(list, value) {
    return this.#noted(list, value, (state) => state === "open");
  }

  /**
   * What is on its way into the current job and does not stand in it yet: a press is faster than a disk.
   *
   * @param {string} list of the file
   * @returns {Record<string, any>[]} the values, the oldest first
   */
  underWay(list) {
    return Array.from(this.#unwritten).filter((note) => note.job === this.current && note.list === list).map(({ value }) => value); // prettier-ignore
  }

  /** @param {"open" | "closed"} state */
  async setState(state) {
    await this.#noted("states", { state }, (before) => before !== state);
  }

  /**
   * @param {string} list
   * @param {Record<string, unknown>} value
   * @param {(state: string) => boolean} isAllowed
   * @returns {Promise<boolean>}
   */
  #noted(list, value, isAllowed) {
    const { current: job, ready } = this;
    if (!job) return Promise.resolve(false);
    // Who is working may change before it is written.
    const note = { job, list, at: now(), value: { id: `${job}/${newKey()}`, person: this.worker, ...value } };
    this.#unwritten.add(note);
    const done = this.#last.then(async () => {
      await ready; // A page that has just been opened does not know yet what is in its job.
      const entries = job === this.current ? this.#entries : await this.entriesOf(job);
      const { state, changed } = job === this.current && this.standing ? this.standing : standingOf(entries);
      return entries.length > 0 && isAllowed(state) && this.#add(job, entries, changed, note.at, [[list, note.value]]);
    });
    const settled = () => void this.#unwritten.delete(note);
    this.#last = done.then(settled, settled);
    return done;
  }

  /** A browser drops what a page is writing when it is left: that waits for the next page, in storage that writes at once. */
  #leavePage() {
    this.dispatchEvent(new Event("leave"));
    const before = this.store.get(UNWRITTEN); // Of another tab that was left at the same time.
    if (this.#unwritten.size > 0) this.store.set(UNWRITTEN, [...(Array.isArray(before) ? before : []), ...this.#unwritten]);
  }

  /** @returns {string | null} the job that this tab works on; in a new tab, the one that was chosen last */
  #chosen() {
    const chosen = this.tab.get(JOB) ?? this.remembered.get(JOB);
    return typeof chosen === "string" && chosen !== "" ? chosen : null;
  }

  async #begin() {
    await this.remembered.recover();
    await this.#takeUp();
    await this.#load(this.#chosen());
  }

  /** Writes what the page before had under way when it was left. */
  async #takeUp() {
    const left = this.store.get(UNWRITTEN);
    this.store.remove(UNWRITTEN);
    const notes = /** @type {Note[]} */ (Array.isArray(left) ? left : []);
    for (const note of notes) this.#unwritten.add(note); // This page may be left as soon.
    for (const note of notes) {
      await this.#writeLeft(note).catch(() => {}); // What storage holds may be damaged: then it is no note.
      this.#unwritten.delete(note);
    }
  }

  /** @param {Note} note */
  async #writeLeft({ job, list, at, value }) {
    const entries = await this.entriesOf(job);
    const isThere = entries.some((entry) => entry.value.id === value.id);
    const { state, changed } = standingOf(entries);
    if (entries.length > 0 && !isThere && state === "open") await this.#add(job, entries, changed, at, [[list, value]]);
  }

  /** @param {string} job */
  async remove(job) {
    if (job === this.current) await this.choose(null);
    await this.records.removeBeginning("entry", `${job}/`);
    await this.records.removeBeginning("job", job);
    this.dispatchEvent(new CustomEvent("removed", { detail: job }));
    this.dispatchEvent(new Event("list"));
  }

  /** Removes what cannot be read; a job of which nothing else is left goes with it. */
  async removeAside() {
    for (const { id } of await this.records.all("job")) {
      const isLost = (await this.entriesOf(id)).length === 0;
      if (isLost && this.records.trouble === null) await this.records.removeBeginning("job", id); // Not because nothing could be read now.
    }
    await this.records.removeAside();
    this.dispatchEvent(new Event("list"));
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
    const count = await this.records.addMissing(entries.map(asStored), (missing) => {
      for (const { value } of missing) known.get(jobOf(value.id))?.push({ list: value.list, value: value.entry });
      const changed = new Set(missing.map(({ id }) => jobOf(id)));
      return Array.from(changed, (job) => asSummary(summaryOf(job, known.get(job) ?? [])));
    });
    if (count !== null) await this.#reload();
    return count;
  }

  /**
   * @param {string} job
   * @param {Listed[]} before
   * @param {string} changed when the newest of them was noted
   * @param {string} moment when these were noted
   * @param {[string, Record<string, unknown>][]} noted
   */
  async #add(job, before, changed, moment, noted) {
    const common = { person: this.worker, device: this.#device(), edition: this.edition };
    let at = changed;
    const added = noted.map(([list, value]) => {
      at = laterThan(at, moment);
      return { list, value: /** @type {Entry} */ ({ id: `${job}/${newKey()}`, at, ...common, ...value }) };
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
    const isKept = await this.records.put([...added.map(asStored), asSummary(summaryOf(job, entries))], {
      kind: "entry",
      beginning: `${job}/`,
      // Another tab may have noted something of which this one has not heard.
      records: (stored) => [asSummary(summaryOf(job, stored.map(listed)))],
    });
    this.dispatchEvent(new Event("list"));
    return isKept;
  }

  /** @param {string | null} job */
  async #load(job) {
    const mine = ++this.#loads;
    const entries = job ? await this.entriesOf(job) : [];
    if (mine !== this.#loads) return;
    this.current = entries.length > 0 ? job : null; // It may have been removed, or this browser has lost it.
    this.#entries = entries;
    this.#stand();
  }

  /** Another tab, a file or the shared folder has added to it. */
  async #reload() {
    const job = this.current;
    if (job) {
      const entries = await this.entriesOf(job);
      if (job === this.current && entries.length === 0 && this.records.trouble === null) await this.#load(null); // Deleted in another tab.
      else if (job === this.current && entries.length > this.#entries.length) {
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
 * @param {any} stored
 * @returns {Listed}
 */
function listed({ list, entry }) {
  return { list, value: entry };
}

/** @param {Summary} value */
function asSummary(value) {
  return { kind: "job", id: value.id, value };
}

/**
 * @param {any} value
 * @returns {value is Summary}
 */
function isSummary(value) {
  const { id, at, number, unit, serial, complaint, technician, opened, closed, stopped, state, people, parts } = value;
  const texts = [id, at, number, unit, serial, complaint, technician, opened, closed, stopped, state];
  return [people, parts].every(Array.isArray) && [...texts, ...people, ...parts].every((text) => typeof text === "string");
}

/**
 * @param {string} job
 * @param {Listed[]} entries
 * @returns {Summary}
 */
function summaryOf(job, entries) {
  const standing = standingOf(entries);
  return {
    id: job,
    at: standing.changed,
    ...standing.details,
    state: standing.state,
    opened: standing.opened,
    closed: standing.closed,
    people: standing.people,
    parts: Object.values(standing.parts).map(({ part, number }) => `${part} ${number}`.trim()),
    stopped: whereStopped(standing),
    measured: lastAnswers(standing)
      .flatMap(measuredRows)
      .map(({ what, pack, exact, bounds, size }) => ({ what, pack, exact, bounds, size })),
  };
}

/**
 * What lies open: where the work stopped, and what is not in its limits.
 *
 * @param {Standing} standing
 * @returns {string[]}
 */
export function openThings(standing) {
  const holds = Object.values(standing.pages)
    .map((page) => ({ title: page.title, ...progressOf(page) }))
    .filter(({ done, total }) => done < total)
    .map(({ title, done, total, next }) => `${title}: ${done} of ${total} holds ticked.${next ? ` Next: ${next}` : ""}`);
  const verdicts = lastAnswers(standing)
    .filter((answer) => isOutdated(standing, answer) || (!isIn(answer) && !standing.accepted[answer.id]))
    .map((answer) => `${answer.title}: ${isOutdated(standing, answer) ? TEXTS.outdated : wordsOf(answer.shown.advice ?? answer.shown.verdict)}`);
  const steps = Object.values(standing.steps).flatMap(({ last, skipped }) => [
    ...(last.number < last.total ? [`${last.title}: stopped after step ${last.number} of ${last.total}, ${last.section}`] : []),
    ...Object.values(skipped).map(({ title, number, step, reason }) => `${title}: step ${number} left out (${reason}): ${step.slice(0, 80)}`),
  ]);
  const struck = Array.from(unanswered(standing).values(), (title) => `${title}: ${TEXTS.correctedReading}`);
  return [...steps, ...holds, ...struck, ...verdicts];
}

/** @param {Standing} standing */
function whereStopped(standing) {
  const things = openThings(standing);
  let count = Math.min(1, things.length);
  while (count < things.length && things.slice(0, count + 1).join(" · ").length <= LONGEST_STOPPED) count += 1;
  const words = things.slice(0, count).join(" · ");
  const whole = words.length <= LONGEST_STOPPED ? words : `${words.slice(0, LONGEST_STOPPED)}…`;
  return [whole, count < things.length ? TEXTS.moreOpen(things.length - count) : ""].filter(Boolean).join(" · ");
}
