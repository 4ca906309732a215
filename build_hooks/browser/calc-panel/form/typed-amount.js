import { TEXTS } from "../panel-texts.js";

// What is typed with a unit or a mark of its own (1/2", 0.85 mm, 3°) is sent as typed.
export const OWN_UNIT = /[\p{L}"'″′°]/u;

/**
 * @param {string} typed
 * @param {string | undefined} unit
 */
export function withUnit(typed, unit) {
  return unit && !OWN_UNIT.test(typed) ? `${typed} ${unit}` : typed;
}

/**
 * The amount that an entry stands for: what was typed, also where the same is shown converted.
 *
 * @param {HTMLInputElement | HTMLSelectElement} entry
 */
export function typedIn(entry) {
  return entry.dataset.typed ?? withUnit(entry.value.trim(), entry.dataset.unit);
}

/** @param {HTMLInputElement} entry */
export function emptyEntry(entry) {
  entry.value = "";
  keepTyped(entry, "");
}

/**
 * As if nothing had ever been read there.
 *
 * @param {HTMLInputElement} entry
 */
export function emptyReading(entry) {
  emptyEntry(entry);
  delete entry.dataset.touched;
}

/**
 * @param {HTMLElement} entry
 * @param {string} typed with its unit; empty once something else is typed
 */
export function keepTyped(entry, typed) {
  const row = entry.closest(".bench-row") ?? entry.parentElement;
  row?.querySelector("[data-bench=converted-from]")?.remove();
  if (typed === "") return void delete entry.dataset.typed;
  entry.dataset.typed = typed;
  const note = document.createElement("p");
  note.setAttribute("data-bench", "converted-from");
  note.className = "bench-from-other-form";
  note.textContent = TEXTS.convertedFrom(typed);
  row?.append(note);
}
