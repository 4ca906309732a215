import { valueAt } from "./dotted-path.js";
import { entriesOf } from "./entries.js";
import { presetOf } from "./form-request.js";

/**
 * Shows what has a meaning with the words chosen, and hides the rest; hidden entries are not sent.
 *
 * @param {HTMLFormElement} form
 */
export function showWanted(form) {
  for (const part of form.querySelectorAll("[data-when-field]")) {
    if (!(part instanceof HTMLElement)) continue;
    const words = (part.dataset.whenValues ?? "").split(" ");
    part.hidden = !words.includes(chosen(form, part.dataset.whenField ?? ""));
  }
}

/**
 * @param {HTMLFormElement} form
 * @param {string} field
 * @returns {string}
 */
function chosen(form, field) {
  const named = entriesOf(form).filter((entry) => entry.name === field);
  const picked = named.find((entry) => !(entry instanceof HTMLInputElement && entry.type === "radio") || entry.checked);
  return picked?.value ?? String(valueAt(presetOf(form), field) ?? "");
}
