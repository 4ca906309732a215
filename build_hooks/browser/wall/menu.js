// A menu of the wall: cards in two columns, as many as fit; the rest on further screens.

import { listen } from "./keys.js";
import { recall } from "./memory.js";

/**
 * @param {() => void} up leaves the menu
 */
export function runMenu(up) {
  const list = /** @type {HTMLElement} */ (document.querySelector("[data-bench=wall-menu]"));
  const wall = /** @type {HTMLElement} */ (list.closest("[data-bench=wall]"));
  const isStart = list.classList.contains("wall-start");
  if (isStart) offerToGoOn(list);
  // Asked for each time: the entry of a new edition comes later.
  const cardsNow = () => /** @type {HTMLElement[]} */ ([...list.children]);
  const linksNow = () => /** @type {HTMLAnchorElement[]} */ ([...list.querySelectorAll(".wall-pack, .wall-card")]);
  const numbered = /** @type {HTMLAnchorElement[]} */ ([...list.querySelectorAll("[data-number]")]);
  let pages = inPages(list, cardsNow());
  let at = 0;

  const go = (/** @type {number} */ to) => {
    at = to;
    const links = linksNow();
    const page = pages.find((some) => some.some((card) => card.contains(links[at] ?? null)));
    for (const card of cardsNow()) card.hidden = !page?.includes(card);
    wall.dataset.more = String(pages.length > 1);
    links[at]?.focus({ preventScroll: true });
  };

  listen({
    move: (where) => go(isStart ? beside(linksNow(), at, where) : across(list, linksNow(), at, where)),
    up,
    choose: () => {},
    // With ten cards and more a 1 may be the beginning of 12.
    number: (digits, isWhole) => {
      const mayGoOn = numbered.some((link) => link.dataset.number !== digits && link.dataset.number?.startsWith(digits));
      const link = numbered.find((some) => some.dataset.number === digits);
      if (isWhole || !mayGoOn) link?.click();
      return mayGoOn || link !== undefined;
    },
  });
  const lay = () => {
    pages = inPages(list, cardsNow());
    go(at);
  };
  window.addEventListener("resize", lay);
  document.fonts.ready.then(() => {
    lay();
    document.documentElement.dataset.wall = "ready";
  });
  new MutationObserver(lay).observe(list, { childList: true });
  list.addEventListener("focusin", (event) => {
    const index = linksNow().findIndex((link) => link === event.target);
    if (index >= 0 && index !== at) go(index);
  });
  go(0);
}

/**
 * In a grid of cards: on and back card by card, below and above by rows; beyond the end comes the beginning.
 * @param {HTMLElement} list
 * @param {HTMLAnchorElement[]} links
 * @param {number} at
 * @param {import("./keys.js").Move} where
 * @returns {number}
 */
function across(list, links, at, where) {
  const count = links.length;
  if (where === "right" || where === "next") return (at + 1) % count;
  if (where === "left" || where === "back") return (at + count - 1) % count;
  const columns = getComputedStyle(list).gridTemplateColumns.split(" ").length;
  const column = links.filter((_, index) => index % columns === at % columns);
  return links.indexOf(after(column, links[at], where === "below"));
}

/**
 * Among units with their packs: right and left within a unit, below and above to the first pack of another.
 * @param {HTMLAnchorElement[]} links
 * @param {number} at
 * @param {import("./keys.js").Move} where
 * @returns {number}
 */
function beside(links, at, where) {
  const unitOf = (/** @type {Element | undefined} */ link) => link?.closest("li");
  const here = links[at];
  if (where === "right" || where === "left") {
    return links.indexOf(after(links.filter((link) => unitOf(link) === unitOf(here)), here, where === "right"));
  }
  const firsts = links.filter((link, index) => unitOf(link) !== unitOf(links[index - 1]));
  const first = firsts.find((link) => unitOf(link) === unitOf(here));
  return links.indexOf(after(firsts, first, where === "below" || where === "next"));
}

/**
 * @param {HTMLAnchorElement[]} links
 * @param {HTMLAnchorElement | undefined} here
 * @param {boolean} isForward
 * @returns {HTMLAnchorElement} the one behind or before it; behind the last comes the first
 */
function after(links, here, isForward) {
  const at = links.findIndex((link) => link === here);
  return /** @type {HTMLAnchorElement} */ (links.at((at + (isForward ? 1 : -1)) % links.length));
}

/**
 * @param {HTMLElement} list
 * @param {HTMLElement[]} cards
 * @returns {HTMLElement[][]} which cards share a screen
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
 * The place where the wall was, as the first card.
 * @param {HTMLElement} list
 */
function offerToGoOn(list) {
  const kept = recall();
  if (!kept) return;
  const link = document.createElement("a");
  link.className = "wall-pack wall-go-on";
  link.href = `${kept.path}/index.html`;
  link.dataset.number = "0";
  for (const [name, text] of [["wall-number", "0 "], ["wall-name", "Resume: "], ["wall-place", `${kept.title}, ${kept.step}`]]) {
    const part = document.createElement("span");
    part.className = name ?? "";
    part.textContent = text ?? "";
    link.append(part);
  }
  const card = document.createElement("li");
  card.append(link);
  list.prepend(card);
}
