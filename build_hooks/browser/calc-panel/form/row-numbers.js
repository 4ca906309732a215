// Names of the request, joined by dots, and the ids made of them, joined by hyphens.
const DOTTED = ["name", "data-field", "data-row", "data-when-field", "data-optional"];
const HYPHENED = ["id", "for", "aria-describedby", "aria-labelledby"];

/**
 * Gives everything in an item of a list its place in the names and ids, templates of inner lists included.
 *
 * @param {Element} item
 * @param {string} field name of the list
 * @param {number | null} from the place it had; null for one that comes fresh from the template
 * @param {number} to the place it has now
 */
export function renumber(item, field, from, to) {
  const dotted = replacer(`${field}.`, from, `${field}.${to}`);
  const stem = field.replaceAll(".", "-");
  const hyphened = replacer(`-${stem}-`, from, `-${stem}-${to}`);
  for (const element of [item, ...item.querySelectorAll("*")]) {
    for (const attribute of DOTTED) change(element, attribute, dotted);
    for (const attribute of HYPHENED) change(element, attribute, hyphened);
    if (element instanceof HTMLTemplateElement) {
      for (const inner of element.content.children) renumber(inner, field, from, to);
    }
  }
}

/**
 * @param {string} before the text before the number
 * @param {number | null} from
 * @param {string} now
 * @returns {(text: string) => string}
 */
function replacer(before, from, now) {
  const marks = from === null ? ["{i}", "{j}"] : [String(from)];
  return (text) => {
    for (const mark of marks) {
      const at = text.indexOf(before + mark);
      const after = text.charAt(at + before.length + mark.length);
      // Never the 1 of 12.
      if (at >= 0 && !/\d/.test(after)) return text.slice(0, at) + now + text.slice(at + before.length + mark.length);
    }
    return text;
  };
}

/**
 * @param {Element} element
 * @param {string} attribute
 * @param {(text: string) => string} changed
 */
function change(element, attribute, changed) {
  const text = element.getAttribute(attribute);
  if (text !== null) element.setAttribute(attribute, changed(text));
}

/**
 * Notes on each element of an item how its label is made, as the template shows it. Inner lists have labels of their own.
 *
 * @param {Element} pattern an element of the template
 * @param {Element} element the same one of the item
 */
export function takeLabelsFrom(pattern, element) {
  if (pattern instanceof HTMLElement && pattern.dataset.bench === "list") return;
  const said = pattern.getAttribute("aria-label");
  if (said?.includes("{n}")) element.setAttribute("data-label-said", said);
  const text = pattern.childElementCount === 0 ? pattern.textContent : null;
  if (text?.includes("{n}")) element.setAttribute("data-label-shown", text);
  Array.from(pattern.children).forEach((child, at) => {
    const same = element.children[at];
    if (same) takeLabelsFrom(child, same);
  });
}

/**
 * @param {Element} item
 * @param {number} number
 */
export function numberLabels(item, number) {
  for (const element of [item, ...item.querySelectorAll("[data-label-said], [data-label-shown]")]) {
    if (innerItem(element, item)) continue;
    const said = element.getAttribute("data-label-said");
    if (said) element.setAttribute("aria-label", said.replace("{n}", String(number)));
    const shown = element.getAttribute("data-label-shown");
    if (shown) element.textContent = shown.replace("{n}", String(number));
  }
}

/**
 * @param {Element} element
 * @param {Element} item
 */
function innerItem(element, item) {
  const nearest = element.closest("[data-bench=item]");
  return nearest !== null && nearest !== item && item.contains(nearest);
}
