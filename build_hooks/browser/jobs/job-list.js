import { KeptNodes } from "../page/kept-nodes.js";
import { button, make, twice } from "../page/make.js";
import { linkTo } from "../page/page-of.js";
import { afterPaint } from "../page/when-quiet.js";
import { AcrossJobs } from "./across-jobs.js";
import { jobOf } from "../records/job-entries.js";
import { LARGEST, entriesIn, jobFileName, jobText, readingsTable } from "../records/job-file.js";
import { today } from "../records/keys.js";
import { saveFile } from "../records/progress-file.js";
import { TEXTS } from "./jobs-texts.js";
import { dayOf } from "./moments.js";

const SHOWN = 50; // Jobs drawn at once; the others are found.

/** Every job of this bench: found by number, serial, unit, person or part; saved as files and taken in from them. */
export class BenchJobs extends HTMLElement {
  /** @type {import("./jobs.js").Jobs} */
  static jobs;
  /** @type {import("../engine/client/engine-client.js").EngineClient} */
  static engine;
  static isShared = false;
  /** @type {import("./jobs.js").Summary[]} */
  #all = [];
  #across = new AcrossJobs(BenchJobs.engine);

  connectedCallback() {
    const { jobs } = BenchJobs;
    this.#across.forecasts = JSON.parse(this.dataset.forecasts ?? "{}");
    this.entry = make("input", { type: "search", id: "bench-job-find", autocomplete: "off", oninput: () => this.#find() });
    this.count = make("p", { class: "bench-job-count", role: "status", "data-bench": "job-count" });
    const list = make("ul", { class: "bench-job-list", "data-bench": "jobs" });
    this.list = new KeptNodes(list);
    this.said = make("p", { class: "bench-job-said", role: "status", "data-bench": "jobs-said" });
    this.more = make("p", { class: "bench-job-buttons" });
    this.replaceChildren(
      make("p", { class: "bench-job-find" }, make("label", { for: "bench-job-find" }, TEXTS.find), this.entry),
      this.count, list, this.#moving(), this.said, this.more, this.#across.element, this.#where(),
    ); // prettier-ignore
    for (const name of ["change", "list"]) jobs.addEventListener(name, () => void this.#show());
    void jobs.ready.then(() => this.#show());
  }

  async #show() {
    this.#all = await BenchJobs.jobs.summaries();
    this.#find();
    afterPaint(() => this.#across.show(this.#all)); // The jobs are what was asked for.
  }

  #find() {
    const words = (this.entry?.value ?? "").toLowerCase().split(/\s+/).filter(Boolean);
    const found = this.#all.filter((job) => isFound(job, words));
    // What is open comes first; the oldest of it has waited longest.
    const open = found.filter(({ state }) => state === "open").sort((one, other) => (one.opened < other.opened ? -1 : 1));
    const shown = [...open, ...found.filter(({ state }) => state !== "open")].slice(0, SHOWN);
    if (this.count) this.count.textContent = this.#all.length === 0 ? TEXTS.nothing : found.length === 0 ? TEXTS.noMatch : TEXTS.found(shown.length, found.length);
    const { current } = BenchJobs.jobs;
    this.list?.show(shown.map((job) => ({ key: job.id, shown: JSON.stringify([job, job.id === current]), make: () => this.#item(job) })));
  }

  /** @param {import("./jobs.js").Summary} job */
  #item(job) {
    const { jobs } = BenchJobs;
    const days = [TEXTS.opened(dayOf(job.opened)), job.closed && job.state === "closed" ? TEXTS.closedOn(dayOf(job.closed)) : ""].filter(Boolean).join(", ");
    return make(
      "li",
      { "data-job": job.id, "data-state": job.state, "data-current": String(job.id === jobs.current) },
      make("h3", {}, [TEXTS.job(job.number), job.unit].filter(Boolean).join(" · ")),
      make("p", {}, [job.serial, job.complaint, job.people.join(", "), days].filter(Boolean).join(" · ")),
      job.stopped ? make("p", { class: "bench-job-stopped" }, make("strong", {}, TEXTS.stopped), ` ${job.stopped}`) : null,
      make(
        "p",
        { class: "bench-job-buttons" },
        button(TEXTS.work, () => void jobs.choose(job.id), { "data-bench": "work-on" }),
        make("a", { href: `${linkTo("sheet/")}#job=${job.id}` }, TEXTS.sheet),
        button(TEXTS.save, () => void this.#save([job], jobFileName(job.number || job.id)), { "data-bench": "save-job" }),
        twice(TEXTS.remove, TEXTS.removeSure, () => void jobs.remove(job.id), "delete-job"),
      ),
    );
  }

  #moving() {
    const file = make("input", { id: "bench-jobs-file", type: "file", accept: ".json,application/json", onchange: () => void this.#opened(file) });
    return make(
      "p",
      { class: "bench-job-buttons" },
      button(TEXTS.saveAll, () => void this.#save(this.#all, `jobs-${today()}.json`), { "data-bench": "save-jobs" }),
      button(TEXTS.saveTable, () => void this.#saveTable(), { "data-bench": "save-readings" }),
      make("label", { class: "bench-file", for: file.id }, make("span", {}, TEXTS.openFile), file),
    );
  }

  /**
   * @param {import("./jobs.js").Summary[]} chosen
   * @param {string} name
   */
  async #save(chosen, name) {
    const { jobs } = BenchJobs;
    const entries = [];
    for (const { id } of chosen) entries.push(...(await jobs.entriesOf(id)));
    saveFile(name, jobText(entries, jobs.manual));
    this.#say(TEXTS.saved(name));
  }

  async #saveTable() {
    const { jobs } = BenchJobs;
    const entries = [];
    for (const { id } of this.#all) entries.push(...(await jobs.entriesOf(id)));
    const numbers = new Map(this.#all.map(({ id, number }) => [id, number]));
    const name = `readings-${today()}.csv`;
    saveFile(name, readingsTable(entries, (job) => numbers.get(job) ?? ""));
    this.#say(TEXTS.saved(name));
  }

  /** @param {HTMLInputElement} input */
  async #opened(input) {
    const { jobs } = BenchJobs;
    const file = input.files?.[0];
    if (!file) return;
    // One that is far too large is not even read: it might be larger than the memory.
    const text = file.size > LARGEST ? " ".repeat(LARGEST + 1) : await file.text().catch(() => "");
    input.value = ""; // So that the same file can be chosen again.
    this.more?.replaceChildren();
    const found = entriesIn(text, jobs.manual);
    if ("refused" in found) return this.#say(TEXTS.refused(found.refused));
    const names = Array.from(new Set(found.entries.map(({ value }) => jobOf(value.id))));
    const known = new Set();
    for (const job of names) for (const { value } of await jobs.entriesOf(job)) known.add(value.id);
    const fresh = found.entries.filter(({ value }) => !known.has(value.id));
    this.#say(TEXTS.preview(found.entries.length, names.length, fresh.length));
    if (fresh.length > 0) this.more?.replaceChildren(button(TEXTS.add, () => void this.#add(fresh), { "data-bench": "add-entries" }));
  }

  /** @param {import("../records/job-entries.js").Listed[]} entries */
  async #add(entries) {
    this.more?.replaceChildren();
    const count = await BenchJobs.jobs.takeIn(entries);
    this.#say(count === null ? TEXTS.notAdded : TEXTS.added(count));
  }

  #where() {
    const kept = make("span", {});
    void navigator.storage?.persisted?.().then((is) => (kept.textContent = ` ${is ? TEXTS.persisted : TEXTS.notPersisted}`), () => {}); // prettier-ignore
    return make("p", { class: "bench-job-where" }, BenchJobs.isShared ? TEXTS.whereShared : TEXTS.where, kept);
  }

  /** @param {string} words */
  #say(words) {
    if (this.said) this.said.textContent = words;
  }
}

/** @type {WeakMap<import("./jobs.js").Summary, string>} */
const TEXTS_OF_JOBS = new WeakMap();

/**
 * @param {import("./jobs.js").Summary} job
 * @param {string[]} words
 */
function isFound(job, words) {
  const text = TEXTS_OF_JOBS.get(job) ?? textOf(job);
  TEXTS_OF_JOBS.set(job, text);
  return words.every((word) => text.includes(word));
}

/** @param {import("./jobs.js").Summary} job */
function textOf({ number, serial, unit, complaint, technician, people, parts }) {
  return [number, serial, unit, complaint, technician, ...people, ...parts].join("\n").toLowerCase();
}
