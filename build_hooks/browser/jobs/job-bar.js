import { KeptNodes } from "../page/kept-nodes.js";
import { button, make, twice } from "../page/make.js";
import { linkTo, titleOfPage } from "../page/page-of.js";
import { TEXTS } from "./jobs-texts.js";
import { jobFileName, jobText } from "../records/job-file.js";
import { today } from "../records/keys.js";
import { saveFile } from "../records/progress-file.js";
import { BUDGET, megabytes, sizeOf, smaller } from "./pictures.js";

const OTHERS = 3; // Open jobs that one press goes to.

/** The job that this page works on, on every page: which it is, who is working, and the way to another. */
export class BenchJobBar extends HTMLElement {
  /** @type {import("./jobs.js").Jobs} */
  static jobs;
  /** @type {HTMLFormElement | null} with which a new job is being opened */
  #opening = null;
  #savedAside = 0; // How many entries that cannot be read the file has that was saved from here.

  connectedCallback() {
    const { jobs } = BenchJobBar;
    this.trouble = make("p", { class: "bench-trouble", role: "status", "data-bench": "job-trouble", hidden: true });
    const line = make("div", { class: "bench-job-line" });
    this.line = new KeptNodes(line);
    this.said = make("p", { class: "bench-job-said", role: "status", "data-bench": "job-said" });
    this.append(line, this.trouble, this.said);
    for (const name of ["change", "list", "trouble"]) jobs.addEventListener(name, () => void this.#show());
    void jobs.ready.then(() => this.#show());
  }

  get #facts() {
    return { units: JSON.parse(this.dataset.units ?? "[]"), people: JSON.parse(this.dataset.people ?? "[]"), jobs: this.dataset.jobs ?? "" };
  }

  async #show() {
    const { jobs } = BenchJobBar;
    this.#showTrouble();
    const others = (await jobs.summaries()).filter(({ id, state }) => id !== jobs.current && state === "open").slice(0, OTHERS);
    this.dataset.state = jobs.standing?.state ?? "none";
    if (!this.#showForm()) this.line?.show([...this.#currentJob(), ...this.#ways(others)]);
    if (this.worker && this.worker !== document.activeElement) this.worker.value = jobs.worker;
  }

  /** @returns {boolean} whether a new job is being opened: then the strip is its form alone */
  #showForm() {
    const form = this.#opening;
    if (form) this.line?.show([{ key: "form", shown: "", make: () => form }]);
    return form !== null;
  }

  /** @returns {import("../page/kept-nodes.js").Item[]} the job that this page works on, and what can be done with it */
  #currentJob() {
    const { standing } = BenchJobBar.jobs;
    if (!standing) return [{ key: "none", shown: "", make: () => make("span", { class: "bench-job-none", "data-bench": "current-job" }, TEXTS.none) }];
    const { details, state } = standing;
    const words = [details.unit, details.complaint, state === "closed" ? TEXTS.closed : ""].filter(Boolean).map((one) => ` · ${one}`);
    return [
      { key: "name", shown: JSON.stringify([details.number, ...words]), make: () => nameOf(details.number, words) },
      { key: "worker", shown: "", make: () => this.#worker() },
      ...(state === "open" ? [{ key: "picture", shown: "", make: () => this.#picture() }] : []),
      { key: "sheet", shown: "", make: () => make("a", { href: linkTo(`${this.#facts.jobs}sheet/`), "data-bench": "build-sheet" }, TEXTS.sheet) },
    ];
  }

  /**
   * @param {import("./jobs.js").Summary[]} others that one press goes to
   * @returns {import("../page/kept-nodes.js").Item[]}
   */
  #ways(others) {
    const { jobs } = BenchJobBar;
    const goTo = (/** @type {string} */ id, /** @type {string} */ words) => button(words, () => void jobs.choose(id), { "data-job": id });
    return [
      { key: "more", shown: "", make: () => this.#more() },
      ...others.map(({ id, number }) => ({ key: `job ${id}`, shown: number, make: () => goTo(id, TEXTS.goTo(number || TEXTS.noNumber)) })),
      { key: "open", shown: "", make: () => button(TEXTS.open, () => this.#open(), { "data-bench": "open-job" }) },
      { key: "list", shown: "", make: () => make("a", { href: linkTo(this.#facts.jobs), "data-bench": "all-jobs" }, TEXTS.choose) },
    ];
  }

  #picture() {
    const photo = make("input", { type: "file", id: "bench-job-photo", accept: "image/*", "data-bench": "photo", onchange: () => void this.#photo(photo) });
    return make("label", { class: "bench-file", for: photo.id }, make("span", {}, TEXTS.addPicture), photo);
  }

  /** @param {HTMLInputElement} input */
  async #photo(input) {
    const { jobs } = BenchJobBar;
    const job = jobs.current;
    const file = input.files?.[0];
    if (!file || !jobs.standing) return;
    const picture = await smaller(file);
    input.value = "";
    if (job !== jobs.current || !jobs.standing) return;
    const used = sizeOf(jobs.standing);
    if (!picture) return this.#say(TEXTS.noPicture);
    if (used + picture.data.length > BUDGET) return this.#say(TEXTS.picturesFull(megabytes(used), megabytes(BUDGET)));
    await jobs.note("pictures", { about: titleOfPage(), ...picture });
    this.#say(TEXTS.pictureAdded(jobs.standing.pictures.length, megabytes(sizeOf(jobs.standing)), megabytes(BUDGET)));
  }

  /** @param {string} words */
  #say(words) {
    if (this.said) this.said.textContent = words;
  }

  /** On a phone the strip is one line until somebody wants more of it: the readings come first. */
  #more() {
    const toggle = button(TEXTS.more, () => toggle.setAttribute("aria-expanded", String(this.toggleAttribute("data-expanded"))), {
      class: "bench-job-toggle", "data-bench": "job-more", "aria-expanded": String("expanded" in this.dataset),
    }); // prettier-ignore
    return toggle;
  }

  #worker() {
    const { jobs } = BenchJobBar;
    const entry = make("input", {
      type: "text", id: "bench-job-worker", maxlength: 80, autocomplete: "off", value: jobs.worker, list: "bench-job-people", "data-bench": "worker",
      onchange: () => (jobs.worker = entry.value),
    }); // prettier-ignore
    this.worker = entry;
    return make("span", { class: "bench-job-worker" }, make("label", { for: entry.id }, TEXTS.worker), entry, this.#people());
  }

  #people() {
    return make("datalist", { id: "bench-job-people" }, ...this.#facts.people.map((/** @type {string} */ name) => make("option", { value: name })));
  }

  #open() {
    const { jobs } = BenchJobBar;
    const { units } = this.#facts;
    const text = (/** @type {"number" | "serial" | "complaint" | "technician"} */ name, /** @type {any} */ more = {}) =>
      field(TEXTS.labels[name], make("input", { type: "text", name, id: `bench-job-${name}`, maxlength: 120, autocomplete: "off", ...more }));
    const choice = make(
      "select",
      { name: "unit", id: "bench-job-unit" },
      ...[...units, ""].map((/** @type {string} */ unit) => make("option", { value: unit }, unit || "–")),
    );
    const fault = make("p", { class: "bench-job-fault", role: "alert", "data-bench": "job-problem" });
    const form = make(
      "form",
      { class: "bench-job-form", "data-bench": "new-job", onsubmit: (/** @type {Event} */ event) => (event.preventDefault(), void this.#begin(form, fault)) },
      text("number"),
      field(TEXTS.labels.unit, choice),
      text("serial"),
      text("complaint", { maxlength: 500 }),
      text("technician", { value: jobs.worker, list: "bench-job-people" }),
      this.#people(),
      fault,
      make("p", { class: "bench-job-buttons" }, make("button", { type: "submit" }, TEXTS.begin), button(TEXTS.cancel, () => this.#done())),
    );
    this.#opening = form;
    this.#showForm();
    form.querySelector("input")?.focus();
  }

  /**
   * @param {HTMLFormElement} form
   * @param {HTMLElement} fault
   */
  async #begin(form, fault) {
    const { jobs } = BenchJobBar;
    const details = Object.fromEntries(Array.from(new FormData(form), ([name, value]) => [name, String(value).trim().replace(/\s+/g, " ")]));
    const { number = "", technician = "" } = details;
    const taken = (await jobs.summaries()).some((one) => one.state === "open" && one.number === number);
    fault.textContent = !number ? TEXTS.numberMissing : taken ? TEXTS.numberTaken(number) : "";
    if (fault.textContent) return form.querySelector("input")?.focus();
    if (technician) jobs.worker = technician;
    this.#done();
    await jobs.open(details);
  }

  #done() {
    this.#opening = null;
    void this.#show();
  }

  #showTrouble() {
    const { trouble, aside } = BenchJobBar.jobs.records;
    const words = [trouble === null ? "" : TEXTS.trouble[trouble], aside.length ? TEXTS.aside(aside.length) : ""].filter(Boolean).join(" ");
    const isSaved = aside.length > 0 && aside.length === this.#savedAside;
    const isOffered = trouble !== null && BenchJobBar.jobs.current !== null; // There may be no job yet when the browser first refuses.
    const shown = `${words} ${isOffered} ${isSaved}`;
    if (!this.trouble || this.trouble.dataset.shown === shown) return;
    this.trouble.hidden = words === "";
    this.trouble.dataset.shown = shown; // The button is not made anew while somebody is about to press it.
    this.trouble.replaceChildren(
      words,
      isOffered ? button(TEXTS.saveNow, () => void this.#save(), { "data-bench": "save-now" }) : "",
      aside.length > 0 ? button(TEXTS.saveAside, () => this.#saveAside(), { "data-bench": "save-aside" }) : "",
      // Only what somebody has as a file is removed.
      isSaved ? twice(TEXTS.removeAside, TEXTS.removeAsideSure, () => void BenchJobBar.jobs.removeAside(), "remove-aside") : "",
    );
  }

  #saveAside() {
    const { aside } = BenchJobBar.jobs.records;
    const name = `unreadable-entries-${today()}.json`;
    saveFile(name, `${JSON.stringify(aside, null, 1)}\n`);
    this.#savedAside = aside.length;
    this.#say(TEXTS.saved(name));
    this.#showTrouble();
  }

  /** What the browser does not store is lost on the way to another page: it is saved from here. */
  async #save() {
    const { jobs } = BenchJobBar;
    if (!jobs.current) return;
    const name = jobFileName(jobs.standing?.details.number || jobs.current);
    saveFile(name, jobText(await jobs.entriesOf(jobs.current), jobs.manual));
    this.#say(TEXTS.saved(name));
  }
}

/**
 * @param {string} words
 * @param {HTMLElement} entry
 */
function field(words, entry) {
  return make("p", {}, make("label", { for: entry.id }, words), entry);
}

/**
 * @param {string} number
 * @param {string[]} more
 */
function nameOf(number, more) {
  return make("span", { class: "bench-job-name", "data-bench": "current-job" }, make("strong", {}, TEXTS.job(number)), ...more);
}
