// A menu of the wall: cards in two columns, as many as fit; the rest on further screens.

import { listen } from "./keys.js";
import { recall } from "./memory.js";

/**
 * @param {() => void} up leaves the menu
 */
export function runMenu(up) {
  const list = /** @type {HTMLElement} */ (document.querySelector("[data-bench=wall-menu]"));
  const wall = /** @type {HTMLElement} */ (list.closest("[data-bench=wall]"));
  offerToGoOn(list);
  const cards = /** @type {HTMLElement[]} */ ([...list.children]);
  const links = cards.map((card) => /** @type {HTMLAnchorElement} */ (card.querySelector("a")));
  let pages = inPages(list, cards);
  let at = 0;

  const go = (/** @type {number} */ to) => {
    at = to;
    const page = pages.find((some) => some.includes(/** @type {HTMLElement} */ (cards[at])));
    for (const card of cards) card.hidden = !page?.includes(card);
    wall.dataset.more = String(pages.length > 1);
    links[at]?.focus({ preventScroll: true });
  };
  const step = (/** @type {number} */ by) => go((at + by + cards.length) % cards.length);

  listen({
    move: (where) => {
      const columns = getComputedStyle(list).gridTemplateColumns.split(" ").length;
      const by = { right: 1, next: 1, left: -1, back: -1, below: columns, above: -columns }[where];
      // Beyond the last row comes the first one again, and the other way round.
      if (Math.abs(by) > 1 && !links[at + by]) go(by > 0 ? at % columns : lastOf(at % columns, columns, cards.length));
      else step(by);
    },
    up,
    choose: () => {},
    // With ten cards and more a 1 may be the beginning of 12.
    number: (digits, isWhole) => {
      const mayGoOn = links.some((link) => link.dataset.number !== digits && link.dataset.number?.startsWith(digits));
      const link = links.find((some) => some.dataset.number === digits);
      if (isWhole || !mayGoOn) link?.click();
      return mayGoOn || link !== undefined;
    },
  });
  const lay = () => {
    pages = inPages(list, cards);
    go(at);
  };
  window.addEventListener("resize", lay);
  document.fonts.ready.then(() => {
    lay();
    document.documentElement.dataset.wall = "ready";
  });
  links.forEach((link, index) => link.addEventListener("focus", () => { if (index !== at) go(index); }));
  go(0);
}

/**
 * @param {number} column
 * @param {number} columns
 * @param {number} count
 * @returns {number} the last card of a column
 */
function lastOf(column, columns, count) {
  let last = column;
  while (last + columns < count) last += columns;
  return last;
}

/**
 * @param {HTMLElement} list
 * @param {HTMLElement[]} cards
 * @returns {HTMLElement[][]} which cards stand together on a screen
 */
function inPages(list, cards) {
  /** @type {HTMLElement[][]} */
  const pages = [[]];
  for (const card of cards) card.hidden = true;
  for (const card of cards) {
    card.hidden = false;
    const here = /** @type {HTMLElement[]} */ (pages.at(-1));
    if (list.scrollHeight > list.clientHeight && here.length) {
      for (const other of here) other.hidden = true;
      pages.push([card]);
    } else here.push(card);
  }
  return pages;
}

/**
 * @param {HTMLElement} list
 */
function offerToGoOn(list) {
  const kept = recall();
  const isStart = document.querySelector(".wall-up")?.textContent === "Manual";
  if (!kept || !isStart) return;
  const first = /** @type {HTMLElement | null} */ (list.firstElementChild?.cloneNode(true));
  const link = first?.querySelector("a");
  if (!first || !link) return;
  link.href = `${kept.path}/index.html`;
  link.dataset.number = "0";
  const said = ["0", "Go on where it was", `${kept.title}, ${kept.step}`];
  [...link.children].forEach((place, index) => { place.textContent = said[index] ?? ""; });
  list.prepend(first);
}
