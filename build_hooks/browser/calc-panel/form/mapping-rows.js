/**
 * @param {HTMLElement} mapping a set of names with a value each
 * @returns {HTMLElement | null} the new row
 */
export function addMappingRow(mapping) {
  const template = mapping.querySelector(":scope > template");
  if (!(template instanceof HTMLTemplateElement)) return null;
  const row = template.content.firstElementChild?.cloneNode(true);
  if (!(row instanceof HTMLElement)) return null;
  template.before(row);
  return row;
}

/**
 * Names and values of a mapping, as typed.
 *
 * @param {Element} mapping
 * @returns {[string, string][]}
 */
export function mappingRows(mapping) {
  const values = controls(mapping, "value");
  return controls(mapping, "key").map((key, at) => [key.value, values[at]?.value ?? ""]);
}

/**
 * @param {HTMLElement} mapping
 * @param {[string, string][]} rows
 */
export function setMappingRows(mapping, rows) {
  while (controls(mapping, "key").length < rows.length && addMappingRow(mapping));
  const keys = controls(mapping, "key");
  const values = controls(mapping, "value");
  rows.forEach(([key, value], at) => {
    const [name, choice] = [keys[at], values[at]];
    if (name) name.value = key;
    if (choice && value) choice.value = value;
  });
}

/**
 * @param {Element} mapping
 * @param {"key" | "value"} which
 */
function controls(mapping, which) {
  return Array.from(mapping.querySelectorAll(`[data-map=${which}]`)).filter(
    (control) => control instanceof HTMLInputElement || control instanceof HTMLSelectElement,
  );
}
