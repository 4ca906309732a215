import { numberLabels, renumber, takeLabelsFrom } from "./row-numbers.js";

/** @param {HTMLElement} list */
const itemsOf = (list) => childrenOf(list).filter((child) => child.dataset.bench === "item");

/** @param {HTMLElement} list */
const templateOf = (list) => list.querySelector(":scope > template");

/**
 * Makes the lists of a part of the form ready: their items know how they are labelled, their buttons what is allowed.
 *
 * @param {Element} part
 */
export function prepareLists(part) {
  for (const list of listsIn(part)) {
    const template = templateOf(list);
    if (!(template instanceof HTMLTemplateElement)) continue;
    const pattern = template.content.firstElementChild;
    if (pattern) for (const item of itemsOf(list)) takeLabelsFrom(pattern, item);
    allow(list);
  }
}

/**
 * @param {HTMLElement} list
 * @returns {HTMLElement | null} the new item
 */
export function addItem(list) {
  const template = templateOf(list);
  const items = itemsOf(list);
  if (!(template instanceof HTMLTemplateElement) || items.length >= most(list)) return null;
  const item = template.content.firstElementChild?.cloneNode(true);
  if (!(item instanceof HTMLElement)) return null;
  takeLabelsFrom(/** @type {Element} */ (template.content.firstElementChild), item);
  renumber(item, list.dataset.field ?? "", null, items.length);
  numberLabels(item, items.length + 1);
  template.before(item);
  prepareLists(item);
  allow(list);
  return item;
}

/**
 * @param {HTMLElement} item
 * @returns {HTMLElement | null} the item that is now in its place, or the one before it
 */
export function removeItem(item) {
  const list = item.parentElement;
  if (!list || itemsOf(list).length <= fewest(list)) return null;
  const place = itemsOf(list).indexOf(item);
  item.remove();
  const rest = itemsOf(list);
  rest.slice(place).forEach((later, at) => {
    renumber(later, list.dataset.field ?? "", place + at + 1, place + at);
    numberLabels(later, place + at + 1);
  });
  allow(list);
  return rest[place] ?? rest.at(-1) ?? null;
}

/**
 * How many items each list has, in the order of the page.
 *
 * @param {Element} form
 * @returns {Record<string, number>}
 */
export function listLengths(form) {
  return Object.fromEntries(listsIn(form).map((list) => [list.dataset.field ?? "", itemsOf(list).length]));
}

/**
 * Brings a list to a length, as far as it may.
 *
 * @param {Element} form
 * @param {string} field
 * @param {number} length
 */
export function setListLength(form, field, length) {
  const list = listsIn(form).find((one) => one.dataset.field === field);
  if (!list) return;
  while (itemsOf(list).length < length && addItem(list));
  for (let last = itemsOf(list).at(-1); last && itemsOf(list).length > length && removeItem(last); ) {
    last = itemsOf(list).at(-1);
  }
}

/** @param {HTMLElement} list */
function allow(list) {
  const count = itemsOf(list).length;
  const add = childrenOf(list).find((child) => child.dataset.bench === "add");
  if (add instanceof HTMLButtonElement) add.disabled = count >= most(list);
  for (const item of itemsOf(list)) {
    const remove = childrenOf(item).find((child) => child.dataset.bench === "remove");
    if (remove instanceof HTMLButtonElement) remove.disabled = count <= fewest(list);
  }
}

/** @param {Element} part */
function listsIn(part) {
  return Array.from(part.querySelectorAll("[data-bench=list]")).filter((list) => list instanceof HTMLElement);
}

/** @param {Element} element */
function childrenOf(element) {
  return Array.from(element.children).filter((child) => child instanceof HTMLElement);
}

/** @param {HTMLElement} list */
function fewest(list) {
  return Number(list.dataset.fewest ?? 0);
}

/** @param {HTMLElement} list */
function most(list) {
  return Number(list.dataset.most ?? Infinity);
}
