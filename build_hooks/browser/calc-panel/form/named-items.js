import { holderOf } from "./dotted-path.js";

// Where the name of an item is kept in the form; no field of a request is called so.
const NAME = "(name)";

/**
 * Turns lists whose items have names into what the engine is asked: an object with an entry for each name. A list within an item of
 * another goes first, while the item still has its place.
 *
 * @param {Record<string, any>} request
 * @param {HTMLFormElement} form
 */
export function nameItems(request, form) {
  for (const list of namedLists(form).reverse()) {
    if (list.closest("[hidden]")) continue;
    const [holder, field] = holderOf(request, list.dataset.field ?? "");
    const items = Object.values(holder[field] ?? {});
    if (items.length > 0) holder[field] = Object.fromEntries(items.map(({ [NAME]: name = "", ...rest }) => [name, rest]));
    else delete holder[field];
  }
}

/**
 * The field of a problem as the form calls it: an item by its place where the engine has its name.
 *
 * @param {HTMLFormElement} form
 * @param {string} field
 */
export function fieldInForm(form, field) {
  return namedLists(form).reduce((path, list) => {
    const before = `${list.dataset.field}.`;
    const names = list.querySelectorAll(`:scope > [data-bench=item] > .bench-rows > .bench-row [name$="${NAME}"]`);
    const at = Array.from(names).findIndex(
      (entry) => entry instanceof HTMLInputElement && `${path}.`.startsWith(`${before}${entry.value.trim()}.`),
    );
    const entry = names[at];
    if (!(entry instanceof HTMLInputElement)) return path;
    return `${before}${at}${path.slice(before.length + entry.value.trim().length)}`;
  }, field);
}

/** @param {HTMLFormElement} form */
function namedLists(form) {
  return Array.from(form.querySelectorAll("[data-bench=list][data-named]")).filter((list) => list instanceof HTMLElement);
}
