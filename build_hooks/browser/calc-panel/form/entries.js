/** @typedef {HTMLInputElement | HTMLSelectElement} Entry a control of the form that holds one value */

/**
 * Every entry of a form that has a name in the request, hidden ones included.
 *
 * @param {ParentNode} form
 * @returns {Entry[]}
 */
export function entriesOf(form) {
  return Array.from(form.querySelectorAll("input[name], select[name]")).filter(isEntry);
}

/**
 * Those that are sent: neither switched off nor hidden.
 *
 * @param {ParentNode} form
 */
export function liveEntriesOf(form) {
  return entriesOf(form).filter((entry) => !entry.disabled && !entry.closest("[hidden]"));
}

/**
 * @param {Element} control
 * @returns {control is Entry}
 */
function isEntry(control) {
  const known = control instanceof HTMLInputElement || control instanceof HTMLSelectElement;
  return known && control.name !== "units";
}

/** @param {Entry} entry */
export function isEmpty(entry) {
  return isText(entry) && entry.value.trim() === "";
}

/**
 * @param {Element} entry
 * @returns {entry is HTMLInputElement}
 */
export function isText(entry) {
  return entry instanceof HTMLInputElement && entry.type === "text";
}

/**
 * Whether an entry belongs to a group that is left out, because nothing was typed into it.
 *
 * @param {Element} entry
 * @returns {boolean}
 */
export function inUnusedGroup(entry) {
  for (let group = optionalGroup(entry); group; group = optionalGroup(group.parentElement)) {
    if (!isWithin(entry, group)) continue;
    const texts = Array.from(group.querySelectorAll("input[type=text]")).filter((inner) => !inner.closest("[hidden]"));
    if (texts.length > 0 && texts.every((inner) => isText(inner) && isEmpty(inner))) return true;
  }
  return false;
}

/**
 * Whether an entry belongs to a group in the request too: what is said of a pack may stand among its readings.
 *
 * @param {Element} entry
 * @param {Element} group
 */
function isWithin(entry, group) {
  const name = entry.getAttribute("name");
  return name === null || name.startsWith(`${group.getAttribute("data-optional")}.`);
}

/** @param {Element | null} element */
function optionalGroup(element) {
  return element?.closest("[data-optional]") ?? null;
}

/**
 * Whether an entry is optional, or takes any number of names.
 *
 * @param {Entry} entry
 */
function mayStayEmpty(entry) {
  return "optionalField" in entry.dataset || entry.dataset.fewest === "0";
}

/**
 * Whether everything that must be typed has been.
 *
 * @param {ParentNode} form
 */
export function isComplete(form) {
  const missing = liveEntriesOf(form).some(
    (entry) => !mayStayEmpty(entry) && isEmpty(entry) && !inUnusedGroup(entry),
  );
  const unnamed = Array.from(form.querySelectorAll("[data-bench=mapping]")).some((mapping) => {
    const keys = Array.from(mapping.querySelectorAll("[data-map=key]")).filter(isText);
    return keys.every(isEmpty) && !mapping.closest("[hidden]") && !inUnusedGroup(mapping);
  });
  return !missing && !unnamed;
}
