import { button, make } from "../../page/make.js";
import { TEXTS } from "../panel-texts.js";
import { OWN_UNIT, keepTyped, typedIn } from "./typed-amount.js";
import { isEmpty, isText, liveEntriesOf } from "./entries.js";
import { setUnit, systemOf, unitIn } from "./units-choice.js";

/**
 * Asks what is to become of readings that were typed in the other units. A question that no longer has a cause goes.
 *
 * @param {HTMLFormElement} form
 * @param {{convert: (entries: HTMLInputElement[]) => Promise<void>, clear: (entries: HTMLInputElement[]) => void}} answers
 */
export function askAboutUnits(form, answers) {
  form.querySelector("[data-bench=units-question]")?.remove();
  const entries = inOtherUnits(form);
  if (entries.length === 0) return;
  const from = [...new Set(entries.map((entry) => entry.dataset.unit ?? ""))].join(", ");
  const to = unitIn(/** @type {Element} */ (entries[0]), systemOf(form)) ?? "";
  const done = () => form.querySelector("[data-bench=units-question]")?.remove();
  const question = make(
    "div",
    { "data-bench": "units-question", class: "bench-question", role: "group", "aria-label": TEXTS.otherUnits(entries.length, from) },
    make("p", {}, TEXTS.otherUnits(entries.length, from)),
    button(TEXTS.convertTo(to), () => void answers.convert(entries).then(done)),
    button(TEXTS.clearThem, () => (answers.clear(entries), done())),
    button(TEXTS.keepThem, done),
  );
  form.querySelector("[data-bench=units]")?.after(question);
}

/**
 * @param {HTMLFormElement} form
 * @returns {HTMLInputElement[]} what was typed in a unit that the form no longer has; with a unit of its own it stays as it is
 */
function inOtherUnits(form) {
  const system = systemOf(form);
  return liveEntriesOf(form)
    .filter(isText)
    .filter((entry) => !entry.readOnly && !isEmpty(entry) && !OWN_UNIT.test(entry.value))
    .filter((entry) => entry.dataset.unit !== undefined && entry.dataset.unit !== unitIn(entry, system));
}

/**
 * Shows an amount in the units chosen. The figure shown is rounded; what was typed goes on counting, so that a reading on a
 * limit stays on it.
 *
 * @param {HTMLInputElement} entry
 * @param {string | undefined} converted amount and unit; undefined leaves the entry as it is
 */
export function putConverted(entry, converted) {
  const [figure, unit] = (converted ?? "").split(" ");
  if (!figure || !unit) return;
  const typed = typedIn(entry);
  entry.value = figure;
  setUnit(entry, unit);
  keepTyped(entry, typed);
}
