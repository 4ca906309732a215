import { isEmpty, isText } from "./entries.js";

/** @typedef {"metric" | "inch"} System */

/** The choice of units: one for the whole manual, stored, and passed to every panel. */
export class UnitsChoice extends EventTarget {
  /** @param {import("../../page/store.js").Store} store */
  constructor(store) {
    super();
    this.store = store;
    /** @type {System | null} null until a reader has chosen: until then the page's own choice applies */
    this.system = isSystem(store.get("units"));
    window.addEventListener("storage", () => this.#take(isSystem(store.get("units"))));
  }

  /** @param {string} value */
  choose(value) {
    const system = isSystem(value);
    this.store.set("units", system);
    this.#take(system);
  }

  /** @param {System | null} system */
  #take(system) {
    if (system === this.system) return;
    this.system = system;
    this.dispatchEvent(new Event("change"));
  }
}

/**
 * @param {unknown} value
 * @returns {System | null}
 */
function isSystem(value) {
  return value === "metric" || value === "inch" ? value : null;
}

/**
 * @param {HTMLFormElement} form
 * @returns {System}
 */
export function systemOf(form) {
  const picked = form.querySelector("input[name=units]:checked");
  return picked instanceof HTMLInputElement && picked.value === "inch" ? "inch" : "metric";
}

/**
 * Puts a choice into a form. An entry that is filled stays in the unit it was typed in.
 *
 * @param {HTMLFormElement} form
 * @param {System} system
 */
export function showUnits(form, system) {
  form.dataset.units = system; // Given figures are shown in both; the style sheet picks the one to read.
  for (const radio of form.querySelectorAll("input[name=units]")) {
    if (radio instanceof HTMLInputElement) radio.checked = radio.value === system;
  }
  for (const entry of form.querySelectorAll("[data-unit-metric]")) settleUnit(entry, system);
}

/**
 * @param {Element} entry
 * @param {System} system
 */
function settleUnit(entry, system) {
  const unit = isText(entry) && isEmpty(entry) ? unitIn(entry, system) : undefined;
  if (unit && isText(entry)) setUnit(entry, unit);
}

/**
 * @param {Element} entry
 * @param {System | null} system
 * @returns {string | undefined} the unit that an entry has in a system; undefined for what has none
 */
export function unitIn(entry, system) {
  if (!(entry instanceof HTMLElement)) return undefined;
  return (system === "inch" ? entry.dataset.unitInch : undefined) ?? entry.dataset.unitMetric;
}

/**
 * @param {HTMLInputElement} entry
 * @param {string} unit
 */
export function setUnit(entry, unit) {
  entry.dataset.unit = unit;
  const shown = entry.parentElement?.querySelector("[data-bench=unit]");
  if (shown && shown.textContent !== unit) shown.textContent = unit;
}
