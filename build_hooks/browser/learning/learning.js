import { newKey, now, today } from "../records/keys.js";
import { progressText, saveFile } from "../records/progress-file.js";
import { OpenedPages } from "./opened.js";
import { loadScript } from "../page/load-script.js";
import { PRACTICE } from "../engine/protocol.js";

/**
 * @typedef {{at: string, id: string, name: string, removed?: boolean}} Person
 * @typedef {{kind: string, unit: string, pack: string, seed: number}} Exercise which exercise it is
 * @typedef {{path: string, step: string, edition: string}} ForStep the step of a path that something is done for
 * @typedef {{right: boolean, quality: number, asks: {id: string, right: boolean, given: string, answer: string}[], why: string[], working: string[], read: {title: string, address: string}[]}} Mark
 */

const PERSON = "person";
let asked = 0;

/** @type {Map<string, string>} what the scripts of the units have left, by unit: several may load at the same time */
const unitTexts = new Map();
globalThis.benchleafUnit = (/** @type {string} */ id, /** @type {string} */ text) => void unitTexts.set(id, text);

/** What the elements of the learning part share: the engine that makes and marks, the records, and who is learning. */
export class Learning extends EventTarget {
  /** @type {Map<string, Promise<any>>} */
  #units = new Map();

  /**
   * @param {object} given
   * @param {import("../engine/client/engine-client.js").EngineClient} given.engine
   * @param {import("../records/record-database.js").RecordDatabase} given.records
   * @param {import("../page/store.js").Store} given.store remembers who was learning last
   * @param {string} given.assets address of the folder that the page's script lies in
   */
  constructor({ engine, records, store, assets }) {
    super();
    this.engine = engine;
    this.records = records;
    this.store = store;
    this.assets = assets;
    /** @type {unknown} key of the person that this page records for; another tab's choice does not change it */
    this.chosen = store.get(PERSON);
    this.opened = new OpenedPages(store);
    if (typeof this.chosen === "string") this.opened.note(this.chosen, location.href);
    // Back on a page that the browser has kept, what was opened since is news.
    window.addEventListener("pageshow", () => this.dispatchEvent(new Event("change")));
    window.addEventListener("storage", () => this.dispatchEvent(new Event("change")));
    records.addEventListener("change", () => this.dispatchEvent(new Event("change")));
    records.addEventListener("trouble", () => this.dispatchEvent(new Event("trouble")));
  }

  /** The shop whose manual this is: a saved record belongs to it. */
  get manual() {
    const named = document.querySelector("[data-manual]");
    return named instanceof HTMLElement ? (named.dataset.manual ?? "") : "";
  }

  /**
   * Offers the whole record as a file.
   *
   * @returns {Promise<string>} its name
   */
  async save() {
    const name = `learning-record-${today()}.json`;
    saveFile(name, await progressText(this.records, this.manual));
    return name;
  }

  /** Offers the entries that cannot be read as a file, for whoever can mend them. */
  saveAside() {
    saveFile(`damaged-entries-${today()}.json`, `${JSON.stringify(this.records.aside, null, 1)}\n`);
  }

  /** @returns {Promise<Person[]>} by name */
  async people() {
    const all = /** @type {Person[]} */ (await this.records.all("person"));
    return all.filter((person) => !person.removed).sort((first, second) => first.name.localeCompare(second.name));
  }

  /** @returns {Promise<Person | null>} who is learning */
  async person() {
    return (await this.people()).find((person) => person.id === this.chosen) ?? null;
  }

  /** @returns {Promise<Person | null>} whom another tab has chosen since, if it is somebody else */
  async chosenElsewhere() {
    const other = this.store.get(PERSON);
    return other === this.chosen ? null : ((await this.people()).find((person) => person.id === other) ?? null);
  }

  /** @param {string | null} id */
  choose(id) {
    this.chosen = id;
    this.store.set(PERSON, id);
    this.dispatchEvent(new Event("change"));
  }

  /** @param {string} name */
  async addPerson(name) {
    const person = { at: now(), id: newKey(), name };
    void navigator.storage?.persist?.().catch(() => false); // So that a full disk does not sweep the record away.
    await this.records.put([{ kind: "person", id: person.id, value: person }]);
    this.choose(person.id);
  }

  /**
   * What practice says.
   *
   * @param {string} verb
   * @param {object} request
   * @returns {Promise<any>} its reply; rejects with a `Trouble` where the engine fails
   */
  async ask(verb, request) {
    asked += 1;
    return await this.engine.run(`${PRACTICE}${asked}`, PRACTICE + verb, JSON.stringify(request));
  }

  /**
   * @param {string} verb `make` or `mark`
   * @param {Exercise} exercise
   * @param {object} [more]
   */
  async askAbout(verb, { kind, unit, pack, seed }, more = {}) {
    return this.ask(verb, { unit: await this.unit(unit), pack, kind, seed, ...more });
  }

  /**
   * The data of a unit, from a script: a page opened from a folder can load nothing else.
   *
   * @param {string} id
   * @returns {Promise<any>}
   */
  unit(id) {
    const found = this.#units.get(id) ?? this.#loadUnit(id);
    this.#units.set(id, found);
    found.catch(() => this.#units.delete(id));
    return found;
  }

  /** @param {string} id */
  async #loadUnit(id) {
    await loadScript(`${this.assets}units/${id}.js`);
    const text = unitTexts.get(id);
    if (text === undefined) throw new Error("the script of the unit defined nothing");
    return JSON.parse(text);
  }

  /**
   * Records an answer, and when what was missed comes again: both or neither.
   *
   * @param {Exercise} exercise
   * @param {Mark} mark
   * @param {{first: boolean, step: ForStep | null, person: Person | null}} how for the person who was shown when it was answered
   * @returns {Promise<{name: string, due: string | null, isKept: boolean} | null>} for whom, the day on which it comes again, and whether the
   *   browser has it; null when nobody is chosen
   */
  async record(exercise, mark, { first, step, person }) {
    if (!person) return null;
    const at = now();
    const what = { person: person.id, exercise: exercise.kind, unit: exercise.unit, pack: exercise.pack, seed: exercise.seed };
    const attempt = { at, id: `${person.id}/${newKey()}`, ...what, right: mark.right, first, on: today(), ...(step ?? {}) };
    /** @type {import("../records/record-database.js").StoredRecord[]} */
    const records = [{ kind: "attempt", id: attempt.id, value: attempt }];
    const review = await this.#reviewed(`${person.id}/${exercise.unit}/${exercise.pack}/${exercise.kind}/${exercise.seed}`, mark);
    if (review) records.push({ kind: "review", id: review.id, value: { at, id: review.id, ...what, due: review.due, card: review } });
    const isKept = await this.records.put(records);
    return { name: person.name, due: review?.due ?? null, isKept };
  }

  /**
   * The card of an exercise after an answer. Only what was missed once has one.
   *
   * @param {string} id
   * @param {Mark} mark
   * @returns {Promise<{id: string, due: string} | null>}
   */
  async #reviewed(id, mark) {
    const known = (await this.records.all("review")).find((review) => review.id === id);
    if (!known && mark.right) return null;
    const reply = await this.ask("schedule", {
      today: today(),
      cards: known ? [known.card] : [],
      answered: [{ id, quality: mark.quality }],
    });
    return reply.ok ? reply.cards[0] : null;
  }

  /**
   * What a person has to practise again today.
   *
   * @param {Person} person
   * @returns {Promise<{exercises: Exercise[], refused: number}>} the longest due first, and how many cards the scheduler refused
   */
  async due(person) {
    const reviews = (await this.records.all("review")).filter((review) => review.person === person.id);
    const { ids, refused } = await this.#scheduled(reviews);
    const exercises = ids.flatMap((id) => {
      const found = reviews.find((review) => review.id === id);
      return found ? [{ kind: found.exercise, unit: found.unit, pack: found.pack, seed: found.seed }] : [];
    });
    return { exercises, refused };
  }

  /**
   * Asks which cards are due. Cards that are refused are left out, and the others are asked for again.
   *
   * @param {any[]} reviews
   * @returns {Promise<{ids: string[], refused: number}>}
   */
  async #scheduled(reviews) {
    if (reviews.length === 0) return { ids: [], refused: 0 };
    const reply = await this.ask("schedule", { today: today(), cards: reviews.map((review) => review.card) });
    if (reply.ok) return { ids: reply.due, refused: 0 };
    const bad = new Set(reply.problems.map((/** @type {{field: string}} */ problem) => Number(/^cards\.(\d+)/.exec(problem.field)?.[1])));
    const sound = reviews.filter((_review, place) => !bad.has(place));
    // A refusal that names no card would only come again.
    if (sound.length === reviews.length) throw new Error(reply.problems.map((/** @type {{message: string}} */ one) => one.message).join(" "));
    const rest = await this.#scheduled(sound);
    return { ids: rest.ids, refused: rest.refused + reviews.length - sound.length };
  }
}

/**
 * What the build passes to a page of the learning part.
 *
 * @param {Element} element
 * @param {string} [name]
 * @returns {any}
 */
export function toldTo(element, name = "learning") {
  return JSON.parse(element.querySelector(`script[data-bench=${name}]`)?.textContent ?? "null");
}
