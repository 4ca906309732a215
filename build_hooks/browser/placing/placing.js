/** The page of `benchleaf photo`: what was pointed at and typed, and the block that the command makes of it. */

import { button, make, twice } from "../page/make.js";
import { Store } from "../page/store.js";
import { TEXTS } from "./placing-texts.js";
import { Points } from "./points.js";

/**
 * @typedef {import("./points.js").At} At
 * @typedef {{ shows: string, points: { at: At, words: string }[], beside: Record<string, string> }} Draft
 * @typedef {{ folder: string, draft: Draft }} State
 */

/**
 * @template {HTMLElement} T
 * @param {string} id
 * @returns {T}
 */
const found = (id) => /** @type {T} */ (document.getElementById(id));

/** @type {{ picture: string, folder: string, folders: { value: string, words: string }[] }} */
const start = JSON.parse(/** @type {HTMLElement} */ (document.querySelector("main")).dataset.start ?? "");
const shows = /** @type {HTMLTextAreaElement} */ (found("shows"));
const folder = /** @type {HTMLSelectElement} */ (found("folder"));
const block = /** @type {HTMLTextAreaElement} */ (found("block"));
const pasted = /** @type {HTMLTextAreaElement} */ (found("pasted"));
const rows = found("rows");
/** A page that is loaded anew by mistake loses nothing. */
const store = new Store(() => sessionStorage, "benchleaf-photo:");
const empty = () => /** @type {State} */ ({ folder: start.folder, draft: { shows: "", points: [], beside: {} } });

let state = empty();
let asked = 0;

const points = new Points(found("frame"), found("place"), {
  place: (at) => {
    state.draft.points.push({ at, words: "" });
    drawn();
    wordsOf(state.draft.points.length - 1)?.focus();
  },
  move: (index, at) => {
    const point = state.draft.points[index];
    if (point) point.at = at;
    const place = rows.children[index]?.querySelector(".place");
    if (place) place.textContent = TEXTS.place(at);
    void changed();
  },
  leave: () => found("frame").focus(),
  words: (index) => wordsOf(index)?.focus(),
});

/** @param {number} index */
const wordsOf = (index) => /** @type {HTMLElement | null | undefined} */ (rows.children[index]?.querySelector("textarea"));

/** Draws all that numbers depend on. */
function drawn() {
  points.show(state.draft.points.map(({ at }) => at));
  rows.replaceChildren(...state.draft.points.map((_, index) => row(index)));
  found("none").hidden = state.draft.points.length > 0;
  shows.value = state.draft.shows;
  folder.value = state.folder;
  void changed();
}

/** @param {number} index */
function row(index) {
  const number = index + 1;
  const point = /** @type {Draft["points"][number]} */ (state.draft.points[index]);
  const words = make("textarea", { rows: 2, "aria-label": TEXTS.words(number) });
  words.addEventListener("input", () => {
    point.words = words.value;
    void changed();
  });
  words.addEventListener("keydown", (event) => {
    // They stand on one line of the block, and the next point is waiting.
    if (!["Enter", "Escape"].includes(event.key) || event.isComposing) return;
    event.preventDefault();
    found("frame").focus();
  });
  words.value = point.words;
  /**
   * @param {string} action
   * @param {() => void} then
   * @param {boolean} [disabled]
   */
  const does = (action, then, disabled) => button(action, then, { "aria-label": TEXTS.of(action, number), disabled });
  return make(
    "li",
    {},
    make("span", { class: "number", "aria-hidden": "true" }, String(number)),
    words,
    make("span", { class: "place" }, TEXTS.place(point.at)),
    make(
      "span",
      { class: "buttons" },
      does(TEXTS.move, () => points.moveNext(index)),
      does(TEXTS.up, () => exchanged(index, index - 1), index === 0),
      does(TEXTS.down, () => exchanged(index, index + 1), number === state.draft.points.length),
      does(TEXTS.remove, () => removed(index)),
    ),
  );
}

/**
 * @param {number} index
 * @param {number} other
 */
function exchanged(index, other) {
  const all = state.draft.points;
  const [point] = all.splice(index, 1);
  if (point) all.splice(other, 0, point);
  drawn();
  wordsOf(other)?.focus();
}

/** @param {number} index */
function removed(index) {
  state.draft.points.splice(index, 1);
  drawn();
  (wordsOf(Math.min(index, state.draft.points.length - 1)) ?? found("frame")).focus();
}

/** Keeps what stands here, and asks for its block. */
async function changed() {
  store.set(start.picture, state);
  const own = ++asked;
  const answer = await told("block", JSON.stringify(state));
  // Meanwhile something else was typed.
  if (own !== asked) return;
  const problems = answer?.problems ?? [TEXTS.silent];
  if (answer) block.value = answer.text;
  listed("problems", problems);
}

/**
 * @param {string} address
 * @param {string} body
 * @returns {Promise<any>} undefined where the command does not answer
 */
async function told(address, body) {
  try {
    const answer = await fetch(address, { method: "POST", body });
    return answer.ok ? await answer.json() : undefined;
  } catch {
    return undefined;
  }
}

/**
 * @param {string} id
 * @param {string[]} problems
 */
function listed(id, problems) {
  const shown = [...found(id).children].map((item) => item.textContent);
  // Read out once, and not again with every letter.
  if (shown.join("\n") === problems.join("\n")) return;
  found(id).replaceChildren(...problems.map((problem) => make("li", {}, problem)));
}

async function takeOver() {
  const answer = (await told("read", pasted.value)) ?? { problems: [TEXTS.silent] };
  listed("refused", answer.problems);
  found("taken").textContent = answer.draft ? answer.told || TEXTS.taken : "";
  if (!answer.draft) return;
  state = { folder: answer.folder, draft: answer.draft };
  pasted.value = "";
  drawn();
}

async function copy() {
  await changed(); // The block of the last letter may still be on its way.
  block.select();
  try {
    await navigator.clipboard.writeText(block.value);
    found("copied").textContent = TEXTS.copied;
  } catch {
    found("copied").textContent = TEXTS.selected;
  }
}

const kept = /** @type {State | null} */ (store.get(start.picture));
if (kept && start.folders.some(({ value }) => value === kept.folder)) state = kept;
folder.append(...start.folders.map(({ value, words }) => make("option", { value }, words)));
folder.addEventListener("change", () => {
  state.folder = folder.value;
  void changed();
});
shows.addEventListener("input", () => {
  state.draft.shows = shows.value;
  void changed();
});
block.addEventListener("focus", () => block.select());
found("copy").addEventListener("click", () => void copy());
found("take").addEventListener("click", () => void takeOver());
found("anew").append(
  twice(TEXTS.anew, TEXTS.sure, () => {
    state = empty();
    drawn();
    found("frame").focus();
  }, "anew"),
); // prettier-ignore
drawn();
