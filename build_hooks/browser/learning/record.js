import { now, today } from "../records/keys.js";
import { recordsOf } from "../records/progress-file.js";
import { walkByArrows } from "../page/arrows.js";
import { toldTo } from "./learning.js";
import { lettersChoice } from "./letters.js";
import { afterPress } from "../page/after-press.js";
import { button, make, twice } from "../page/make.js";
import { PersonBar } from "./person-bar.js";
import { seniorNamed } from "./path.js";
import { doneBy, stateOf } from "./progress.js";
import { TEXTS } from "./learning-texts.js";

/** @typedef {import("./progress.js").Path} Path */

/** The record: who may do what, one person's sheet to print, and the file that takes it to another machine. */
export class BenchRecord extends HTMLElement {
  /** @type {import("./learning.js").Learning} */
  static learning;
  /** @type {Path[]} */
  paths = [];
  /** @type {import("./path.js").Senior[]} */
  seniors = [];
  #ready = false;

  connectedCallback() {
    const told = toldTo(this);
    if (this.#ready || !told) return;
    this.#ready = true;
    this.paths = told.paths;
    this.seniors = told.seniors;
    const { learning } = BenchRecord;
    this.matrix = make("section", { class: "bench-matrix", "data-bench": "matrix" });
    this.sheet = make("section", { class: "bench-sheet", "data-bench": "sheet" });
    this.said = make("p", { class: "bench-moved", role: "status", "data-bench": "moved" });
    this.replaceChildren(new PersonBar(learning).element, this.matrix, this.sheet, this.#move(), lettersChoice(learning.store, told.screens));
    walkByArrows(this);
    learning.addEventListener("change", () => void this.#show());
    void this.#show();
  }

  async #show() {
    const { learning } = BenchRecord;
    const [people, person] = [await learning.people(), await learning.person()];
    const done = new Map();
    for (const one of people) done.set(one.id, await doneBy(learning.records, one.id));
    afterPress(() => {
      this.matrix?.replaceChildren(...this.#matrix(people, done));
      this.sheet?.replaceChildren(...(person ? this.#sheet(person, done.get(person.id)) : []));
    });
  }

  /**
   * @param {import("./learning.js").Person[]} people
   * @param {Map<string, Awaited<ReturnType<typeof doneBy>>>} done
   */
  #matrix(people, done) {
    const head = [make("h2", {}, TEXTS.matrixTitle), make("p", {}, TEXTS.matrixAbout)];
    if (people.length === 0) return [...head, make("p", {}, TEXTS.noPeople)];
    const rows = this.paths.flatMap((path) => {
      const states = people.map((person) => stateOf(path, done.get(person.id) ?? { steps: [], attempts: [] }));
      const tasks = path.steps.filter(({ form }) => form === "task");
      return [
        make("tr", {}, make("th", { scope: "rowgroup", colspan: people.length + 1, class: "bench-matrix-path" }, path.name)),
        ...tasks.map((task) =>
          make(
            "tr",
            { "data-task": task.id },
            make("th", { scope: "row" }, task.title),
            ...states.map((state, index) => cellOf(state.steps.find(({ step }) => step === task), people[index]?.id ?? "", this.seniors)),
          ),
        ),
      ];
    });
    const names = people.map((person) => make("th", { scope: "col" }, person.name));
    const table = make(
      "table",
      { class: "bench-table" },
      make("thead", {}, make("tr", {}, make("th", { scope: "col" }, TEXTS.task), ...names)),
      make("tbody", {}, ...rows),
    );
    return [...head, make("div", { class: "bench-matrix-frame", tabindex: 0, role: "region", "aria-label": TEXTS.matrixTitle }, table)];
  }

  /**
   * @param {import("./learning.js").Person} person
   * @param {Awaited<ReturnType<typeof doneBy>>} done
   */
  #sheet(person, done) {
    const parts = this.paths.map((path) => {
      const state = stateOf(path, done);
      const heads = TEXTS.columns.map((head) => make("th", { scope: "col", role: "columnheader" }, head));
      const rows = state.steps.map(({ step, state: stands, record, right }) =>
        // On a narrow screen rows are drawn as boxes, and without the roles would no longer be announced as table rows.
        make(
          "tr",
          { "data-state": stands, role: "row" },
          make("th", { scope: "row", role: "rowheader" }, step.title),
          make("td", { class: "bench-sheet-state", role: "cell" }, step.practice && stands === "open" ? TEXTS.ofCount(right, step.practice.count) : TEXTS.states[stands]),
          make("td", { class: "bench-day", role: "cell" }, record?.on ?? ""),
          make("td", { role: "cell" }, record?.senior ? signer(record.senior, this.seniors) : ""),
        ),
      );
      return make(
        "section",
        { class: "bench-sheet-path" },
        make("h3", {}, `${path.name}, edition ${path.edition}: ${state.next ? TEXTS.done(state.done, state.steps.length) : TEXTS.allDone}`),
        make(
          "table",
          { class: "bench-table", role: "table" },
          make("thead", { role: "rowgroup" }, make("tr", { role: "row" }, ...heads)),
          make("tbody", { role: "rowgroup" }, ...rows),
        ),
      );
    });
    return [
      make("h2", {}, TEXTS.personTitle(person.name)),
      make("p", { class: "bench-sheet-head" }, TEXTS.printedOn(BenchRecord.learning.manual, today())),
      ...parts,
      make("p", { class: "bench-signatures" }, ...TEXTS.signatures.map((words) => make("span", {}, words))),
      make(
        "p",
        { class: "bench-buttons" },
        button(TEXTS.print, () => window.print(), { "data-bench": "print" }),
        twice(TEXTS.remove, TEXTS.removeSure(person.name), () => void this.#remove(person), "remove-person"),
      ),
    ];
  }

  /** @param {import("./learning.js").Person} person */
  async #remove(person) {
    const value = { ...person, at: now(), removed: true };
    await BenchRecord.learning.records.put([{ kind: "person", id: person.id, value }]);
  }

  #move() {
    const file = make("input", {
      id: "bench-record-file",
      type: "file",
      accept: ".json,application/json",
      onchange: () => void this.#opened(file),
    });
    return make(
      "section",
      { class: "bench-move" },
      make("h2", {}, TEXTS.moveTitle),
      make("p", {}, TEXTS.moveAbout),
      make(
        "p",
        { class: "bench-buttons" },
        button(TEXTS.save, () => void this.#save(), { "data-bench": "save-record" }),
        make("label", { class: "bench-file", for: file.id }, make("span", {}, TEXTS.open), file),
        twice(TEXTS.clear, TEXTS.clearSure, () => void this.#clear(), "clear-record"),
      ),
      this.said ?? "",
    );
  }

  async #save() {
    this.#say(TEXTS.saved(await BenchRecord.learning.save()));
  }

  /** @param {HTMLInputElement} input */
  async #opened(input) {
    const file = input.files?.[0];
    if (!file) return;
    const text = await file.text().catch(() => null);
    input.value = ""; // So that the same file can be chosen again.
    if (text === null) return this.#say(TEXTS.refusedFile(TEXTS.unreadable));
    const { learning } = BenchRecord;
    this.#say(TEXTS.reading);
    await new Promise((shown) => setTimeout(shown)); // A large file takes seconds: the message is shown first.
    const found = recordsOf(text, learning.manual, await learning.people());
    if ("refused" in found) return this.#say(TEXTS.refusedFile(found.refused));
    const taken = await learning.records.merge(found.records);
    this.#say(taken ? TEXTS.opened(found.records.length) : TEXTS.notTaken);
  }

  async #clear() {
    await BenchRecord.learning.records.clear();
    this.#say(TEXTS.cleared);
  }

  /** @param {string} words */
  #say(words) {
    if (this.said) this.said.textContent = words;
  }
}

/**
 * @param {import("./progress.js").StepState | undefined} found
 * @param {string} person
 * @param {import("./path.js").Senior[]} seniors
 */
function cellOf(found, person, seniors) {
  const state = found?.state ?? "open";
  if (!found?.record || state === "open") return make("td", { "data-state": "open", "data-person": person }, TEXTS.notYet);
  const { senior, on } = found.record;
  const again = state === "again" ? `${TEXTS.doAgain} · ` : "";
  return make("td", { "data-state": state, "data-person": person }, `${again}${signer(senior, seniors)}`, make("br"), make("span", { class: "bench-day" }, on));
}

/**
 * Who has signed; a name that the shop does not name as a senior is shown as such.
 *
 * @param {string} name
 * @param {import("./path.js").Senior[]} seniors
 */
function signer(name, seniors) {
  return seniorNamed(seniors, name) ? name : TEXTS.notNamed(name);
}
