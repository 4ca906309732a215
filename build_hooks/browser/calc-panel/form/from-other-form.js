import { TEXTS } from "../panel-texts.js";
import { entriesOf, isEmpty, isText } from "./entries.js";

/**
 * Fills the entries whose values come from another panel's answer. What was typed by hand stays.
 *
 * @param {HTMLFormElement} form
 * @param {HTMLElement} source the panel that answered
 * @param {Record<string, unknown>} result its result; empty when it no longer has an answer
 * @returns {boolean} whether an entry has changed
 */
export function takeFromOtherForm(form, source, result) {
  let changed = false;
  for (const entry of entriesOf(form)) {
    if (!isText(entry) || entry.dataset.from !== source.id || !(isEmpty(entry) || isFromOtherForm(entry))) continue;
    const value = result[entry.dataset.fromOutput ?? ""];
    const text = typeof value === "string" ? value : "";
    if (entry.value === text) continue;
    entry.value = text;
    markFromOtherForm(entry, text ? TEXTS.takenFrom(source.dataset.title ?? source.id) : "");
    changed = true;
  }
  return changed;
}

/** @param {HTMLElement} entry */
export function isFromOtherForm(entry) {
  return entry.dataset.fromOtherForm !== undefined;
}

/**
 * Notes beside an entry where its value comes from.
 *
 * @param {HTMLElement} entry
 * @param {string} words empty to remove the note
 */
export function markFromOtherForm(entry, words) {
  const row = entry.closest(".bench-row") ?? entry.parentElement;
  const mark = row?.querySelector("[data-bench=from-other-form]");
  if (words === "") {
    delete entry.dataset.fromOtherForm;
    mark?.remove();
    return;
  }
  entry.dataset.fromOtherForm = words;
  const shown = mark ?? document.createElement("p");
  shown.setAttribute("data-bench", "from-other-form");
  shown.className = "bench-from-other-form";
  shown.textContent = words;
  if (!mark) row?.append(shown);
}
