// A menu of the wall: cards in two columns, as many as fit; the rest on further screens.

import { listen } from "./keys.js";
import { NOT_BEGUN, recall } from "./memory.js";

/**
 * @param {(left: string) => void} up leaves the menu, from this card
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
    // A name behind the address makes the browser scroll to it; nothing scrolls here.
    list.scrollTop = 0;
    links[at]?.focus({ preventScroll: true });
  };

  listen({
    move: (where) => go(beside(linksNow(), at, where)),
    up: () => up(linksNow()[at]?.getAttribute("href")?.split("/")[0] ?? ""),
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
  go(Math.max(linksNow().findIndex((link) => isLeft(link)), 0));
}

/**
 * Whether a link leads to where the wall has just come from: Back leaves its name behind the address.
 * @param {HTMLAnchorElement} link
 */
function isLeft(link) {
  const left = location.hash.slice(1);
  const leads = (link.getAttribute("href") ?? "").replace(/\/index\.html$/, "");
  if (left === "" || link.classList.contains("wall-go-on")) return false;
  // A unit of many packs has one card for all of them; a unit's name alone means its first pack.
  return leads === left || leads.startsWith(`${left}/`) || left.startsWith(`${leads}/`);
}

/** @typedef {"left" | "right" | "above" | "below"} Arrow */

/** @type {Record<Arrow, Arrow>} */
const OPPOSITE = { left: "right", right: "left", above: "below", below: "above" };

/**
 * Where an arrow leads: to the card that lies there on the screen; past the last row to the next screen of cards; where there is
 * none, round to the other end, which saves a remote many presses.
 * @param {HTMLAnchorElement[]} links
 * @param {number} at
 * @param {import("./keys.js").Move} where
 * @returns {number}
 */
function beside(links, at, where) {
  const here = links[at];
  if (where === "next" || where === "back" || !here) return (at + (where === "back" ? links.length - 1 : 1)) % links.length;
  const isSeen = (/** @type {HTMLAnchorElement} */ link) => link.getBoundingClientRect().height > 0;
  const seen = links.filter(isSeen);
  const near = onSide(here, seen, where)[0];
  if (near) return links.indexOf(near.link);
  const beyond =
    where === "below" ? links.findIndex((link, index) => index > at && !isSeen(link))
    : where === "above" ? links.findLastIndex((link, index) => index < at && !isSeen(link))
    : -1;
  if (beyond >= 0) return beyond;
  const behind = onSide(here, seen, OPPOSITE[where]);
  const end = behind.at(-1);
  const far = behind.find(({ along }) => along === end?.along);
  return far ? links.indexOf(far.link) : at;
}

/**
 * @param {HTMLAnchorElement} here
 * @param {HTMLAnchorElement[]} links those in sight
 * @param {Arrow} where
 * @returns {{ link: HTMLAnchorElement, along: number, aside: number }[]} those on that side, the nearest first: right and left only those of
 *   the same row; above and below row by row, in each row by how little they lie aside
 */
function onSide(here, links, where) {
  const own = here.getBoundingClientRect();
  const isAcross = where === "left" || where === "right";
  const sign = where === "right" || where === "below" ? 1 : -1;
  const found = [];
  for (const link of links) {
    const box = link.getBoundingClientRect();
    const x = (box.left + box.right - own.left - own.right) / 2;
    const y = (box.top + box.bottom - own.top - own.bottom) / 2;
    const isSameRow = Math.abs(y) < own.height / 2;
    const along = Math.round((sign * (isAcross ? x : y)) / 4);
    if (isAcross !== isSameRow || along <= 0) continue;
    const gap = Math.max(box.left - own.right, own.left - box.right, 0);
    found.push({ link, along, aside: isAcross ? 0 : gap * 10 + Math.abs(box.left - own.left) });
  }
  return found.sort((one, other) => one.along - other.along || one.aside - other.aside);
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
  // A pack that is done, or not begun, is nothing to resume.
  if (!kept || kept.step === "end" || kept.step === NOT_BEGUN) return;
  const link = document.createElement("a");
  link.className = "wall-pack wall-go-on";
  link.href = `${kept.path}/index.html#${kept.step}`;
  link.dataset.number = "0";
  for (const [name, text] of [["wall-number", "0 "], ["wall-name", "Resume: "], ["wall-place", `${kept.title}, ${kept.said}`]]) {
    const part = document.createElement("span");
    part.className = name ?? "";
    part.textContent = text ?? "";
    link.append(part);
  }
  const card = document.createElement("li");
  card.append(link);
  list.prepend(card);
}
