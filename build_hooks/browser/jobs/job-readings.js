import { applyChanges } from "./standing.js";

const QUIET = 400; // Milliseconds after the last key before what was typed is written.

/**
 * Where forms keep what is typed: in the current job, or without one in this tab.
 *
 * A form is known by its calculation and what it is of, so that the page of a drum's readings and the procedure hold the same ones.
 */
export class JobReadings extends EventTarget {
  /** @type {Map<string, {timer: ReturnType<typeof setTimeout>, write: () => Promise<unknown>}>} */
  #waiting = new Map();

  /**
   * @param {import("./jobs.js").Jobs} jobs
   * @param {import("../page/store.js").Store} tab for work without a job
   */
  constructor(jobs, tab) {
    super();
    this.jobs = jobs;
    this.tab = tab;
    this.#job = jobs.current;
    jobs.addEventListener("change", () => this.#changed());
    jobs.addEventListener("leave", () => void this.flush());
    jobs.addEventListener("taken", () => this.dispatchEvent(new Event("more")));
    document.addEventListener("visibilitychange", () => void this.flush());
    document.addEventListener("change", () => void this.flush());
  }

  /** @type {string | null} */
  #job;

  get ready() {
    return this.jobs.ready;
  }

  /** Whether what is typed now is kept, or this is a job that was closed. */
  get isClosed() {
    return this.jobs.standing?.state === "closed";
  }

  /**
   * @param {string} form
   * @returns {unknown}
   */
  get(form) {
    if (!this.jobs.current) return this.tab.get(form);
    const kept = this.jobs.standing?.forms[form];
    return kept ? readingsFrom(kept) : null;
  }

  /**
   * @param {string} form
   * @param {any} readings
   * @param {{title: string, page: string}} about
   */
  set(form, readings, about) {
    if (!this.jobs.current) return this.tab.set(form, readings);
    this.#soon(form, readings, about);
  }

  /**
   * @param {string} form
   * @param {{title: string, page: string}} about
   */
  remove(form, about) {
    if (!this.jobs.current) return this.tab.remove(form);
    this.#soon(form, null, about);
    void this.flush();
  }

  /** Writes what was typed at once: the page may be left. */
  async flush() {
    const all = Array.from(this.#waiting.values());
    this.#waiting.clear();
    for (const { timer } of all) clearTimeout(timer);
    await Promise.all(all.map(({ write }) => write()));
  }

  /**
   * @param {string} form
   * @param {any} readings
   * @param {{title: string, page: string}} about
   */
  #soon(form, readings, about) {
    clearTimeout(this.#waiting.get(form)?.timer);
    const job = this.jobs.current;
    const write = async () => {
      this.#waiting.delete(form);
      if (job !== this.jobs.current) return;
      const changes = changesIn(this.#coming(form), readings ? flat(readings) : {});
      if (Object.keys(changes).length === 0) return;
      await this.jobs.note("forms", { form, ...about, changes });
      this.dispatchEvent(new Event("more")); // What another tab typed meanwhile is taken up now.
    };
    this.#waiting.set(form, { timer: setTimeout(write, QUIET), write });
  }

  /**
   * What the job holds of a form once all is written that is on its way: typing is faster than a disk, and each change is noted once.
   *
   * @param {string} form
   */
  #coming(form) {
    const facts = Object.assign(Object.create(null), this.jobs.standing?.forms[form]);
    for (const change of this.#underWay(form)) applyChanges(facts, change.changes);
    return facts;
  }

  /**
   * @param {string} form
   * @param {any} readings
   * @returns {boolean} whether the job holds just these
   */
  holds(form, readings) {
    return Object.keys(changesIn(this.jobs.standing?.forms[form] ?? {}, flat(readings))).length === 0;
  }

  /** @param {string} form @returns {boolean} whether something typed into it has not been written yet */
  isWaiting(form) {
    return this.#waiting.has(form) || this.#underWay(form).length > 0;
  }

  /** @param {string} form */
  #underWay(form) {
    return this.jobs.underWay("forms").filter((change) => change.form === form);
  }

  /** Forms take up what another job holds; what was typed into this one here is there already. */
  #changed() {
    if (this.#job === this.jobs.current) return;
    this.#job = this.jobs.current;
    this.dispatchEvent(new Event("other"));
  }
}

/**
 * Readings as single facts, so that two tablets that fill different fields of one form do not write over each other.
 *
 * @param {any} readings
 * @returns {Record<string, any>}
 */
function flat({ lists, entries, mappings, trials }) {
  /** @type {Record<string, any>} */
  const facts = {};
  for (const [name, length] of Object.entries(lists)) facts[`list ${name}`] = length;
  // Of a choice between several, the one that is chosen.
  for (const { name, ...entry } of entries) {
    const fact = `entry ${name}`;
    if (!(fact in facts) || entry.value !== "") facts[fact] = entry;
  }
  for (const [name, rows] of Object.entries(mappings)) facts[`mapping ${name}`] = rows;
  for (const [at, trial] of (trials ?? []).entries()) facts[`trial ${at}`] = { ...trial, panel: withoutWorking(trial.panel) };
  return facts;
}

/** @param {Record<string, any>} facts */
function readingsFrom(facts) {
  /** @type {any} */
  const readings = { lists: {}, entries: [], mappings: {} };
  for (const [fact, value] of Object.entries(facts)) {
    const name = fact.slice(fact.indexOf(" ") + 1);
    if (fact.startsWith("list ")) readings.lists[name] = value;
    else if (fact.startsWith("entry ")) readings.entries.push({ name, ...value });
    else if (fact.startsWith("mapping ")) readings.mappings[name] = value;
  }
  const trials = Object.keys(facts).filter((fact) => /^trial \d+$/.test(fact));
  if (trials.length > 0) readings.trials = Array.from(trials, (_trial, at) => facts[`trial ${at}`]).filter(Boolean);
  return readings;
}

/**
 * The answer to an earlier trial, as short as a record needs it: the working can be made again.
 *
 * @param {any} panel element data, or null
 */
function withoutWorking(panel) {
  if (!panel) return null;
  const [tag, attributes, children] = panel;
  return [tag, attributes, children.filter((/** @type {any} */ child) => child[1]?.class !== "bench-working")];
}

/**
 * @param {Record<string, any>} before
 * @param {Record<string, any>} after
 * @returns {Record<string, any>} null for what is gone
 */
function changesIn(before, after) {
  /** @type {Record<string, any>} */
  const changes = {};
  for (const [name, value] of Object.entries(after)) {
    // An empty entry that was never filled is no news.
    if (before[name] === undefined && value?.value === "") continue;
    if (JSON.stringify(before[name]) !== JSON.stringify(value)) changes[name] = value;
  }
  for (const name of Object.keys(before)) if (!(name in after)) changes[name] = null;
  return changes;
}
