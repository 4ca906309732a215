import { liveEntriesOf } from "../form/entries.js";
import { fieldInForm } from "../form/named-items.js";
import { TEXTS } from "../panel-texts.js";

/** @typedef {{field: string, code: string, message: string, remedy?: string}} Problem */

/**
 * Shows every problem beside its field and lists all of them on top, with links to the fields.
 *
 * @param {HTMLFormElement} form
 * @param {Problem[]} problems
 */
export function showProblems(form, problems) {
  clearProblems(form);
  const items = problems.map((problem) => {
    const field = fieldInForm(form, problem.field);
    const place = placeOf(form, field);
    const words = wordsOf(problem);
    if (place) {
      place.textContent = [place.textContent, words].filter(Boolean).join(" ");
      place.hidden = false;
    }
    const entry = entryOf(form, field, place);
    if (entry) markWrong(entry, place);
    return summaryItem(words, entry);
  });
  const summary = summaryOf(form);
  if (!summary || items.length === 0) return;
  const title = document.createElement("p");
  title.className = "bench-problem-title";
  title.textContent = problems.length === 1 ? TEXTS.oneProblem : TEXTS.problems(problems.length);
  const list = document.createElement("ul");
  list.append(...items);
  summary.replaceChildren(title, list);
  summary.hidden = false;
}

/** @param {HTMLFormElement} form */
export function clearProblems(form) {
  for (const place of placesOf(form)) {
    place.textContent = "";
    place.hidden = true;
  }
  for (const entry of form.querySelectorAll("[aria-invalid]")) entry.removeAttribute("aria-invalid");
  const summary = summaryOf(form);
  summary?.replaceChildren();
  if (summary) summary.hidden = true;
}

/** @param {HTMLFormElement} form */
export function focusSummary(form) {
  summaryOf(form)?.focus();
}

/**
 * @param {Problem} problem
 */
function wordsOf({ message, remedy }) {
  return [message, remedy].filter(Boolean).join(" ");
}

/** @param {HTMLFormElement} form */
function summaryOf(form) {
  const summary = form.querySelector("[data-bench=problem-summary]");
  return summary instanceof HTMLElement ? summary : null;
}

/** @param {HTMLFormElement} form */
function placesOf(form) {
  return Array.from(form.querySelectorAll("[data-bench=problem]")).filter((place) => place instanceof HTMLElement);
}

/**
 * The place for a problem: its field's own, or that of the nearest part of the request around it.
 *
 * @param {HTMLFormElement} form
 * @param {string} field
 */
function placeOf(form, field) {
  const places = placesOf(form).filter((place) => !place.parentElement?.closest("[hidden]"));
  for (let path = field; path; path = path.includes(".") ? path.slice(0, path.lastIndexOf(".")) : "") {
    const found = places.find((place) => place.dataset.field === path);
    if (found) return found;
  }
  return undefined;
}

/**
 * The entry to go to: the one named, or the first inside what is named.
 *
 * @param {HTMLFormElement} form
 * @param {string} field
 * @param {HTMLElement | undefined} place
 * @returns {HTMLElement | undefined}
 */
function entryOf(form, field, place) {
  const entries = liveEntriesOf(form);
  const inside = place?.dataset.field ?? field;
  const named =
    entries.find((entry) => entry.name === field) ??
    entries.find((entry) => inside !== "" && (entry.name === inside || entry.name.startsWith(`${inside}.`)));
  const control = named ?? place?.parentElement?.querySelector("input, select");
  return control instanceof HTMLElement ? control : undefined;
}

/**
 * @param {HTMLElement} entry
 * @param {HTMLElement | undefined} place
 */
function markWrong(entry, place) {
  entry.setAttribute("aria-invalid", "true");
  const ids = new Set((entry.getAttribute("aria-describedby") ?? "").split(" ").filter(Boolean));
  if (place?.id) entry.setAttribute("aria-describedby", [...ids.add(place.id)].join(" "));
}

/**
 * What an entry is called, among the same entries of other packs and rows as well.
 *
 * @param {HTMLElement} entry
 */
function nameOf(entry) {
  const pack = entry.closest("[data-pack]")?.getAttribute("data-pack");
  const row = entry.closest("[data-bench=item]")?.querySelector(":scope > span.bench-entry-label")?.textContent;
  return [pack, row, labelOf(entry)].filter(Boolean).join(", ");
}

/** @param {HTMLElement} entry */
function labelOf(entry) {
  return document.querySelector(`label[for="${CSS.escape(entry.id)}"]`)?.textContent ?? "";
}

/**
 * @param {string} words
 * @param {HTMLElement | undefined} entry
 */
function summaryItem(words, entry) {
  const item = document.createElement("li");
  if (!entry?.id) {
    item.textContent = words;
    return item;
  }
  const link = document.createElement("a");
  link.href = `#${entry.id}`;
  const name = document.createElement("strong");
  name.textContent = nameOf(entry);
  // Some problems begin with the name of the entry: it is not said twice.
  const label = `${labelOf(entry)}: `;
  link.append(...(name.textContent ? [name, ": "] : []), words.startsWith(label) ? words.slice(label.length) : words);
  link.addEventListener("click", (event) => {
    event.preventDefault();
    // The label first: it says what is to be typed, and a header must not cover it.
    (entry.closest(".bench-row") ?? entry).scrollIntoView({ block: "center" });
    entry.focus({ preventScroll: true });
  });
  item.append(link);
  return item;
}
