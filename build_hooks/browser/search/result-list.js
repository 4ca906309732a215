/** The finds as a list to choose from. Texts go into the page as text, never as markup. */

import { addressOf } from "./address.js";
import { excerpt, marked } from "./excerpt.js";
import { KINDS, TEXTS } from "./search-texts.js";

/** @typedef {import("./finder.js").Find} Find */

/**
 * The options of the list, in order; a line precedes the first that lacks some of the words.
 *
 * @param {readonly Find[]} finds
 * @param {number} whole how many have all that was asked for
 * @param {string} root address of the site's root
 * @param {string} prefix of the options' ids
 * @returns {HTMLElement[]}
 */
export function resultItems(finds, whole, root, prefix) {
  /** @type {HTMLElement[]} */
  const options = finds.map((find, at) => option(find, root, `${prefix}-${at}`));
  if (whole > 0 && whole < finds.length) {
    const line = element("p", "bench-find-some", TEXTS.some);
    line.setAttribute("role", "presentation");
    options.splice(whole, 0, line);
  }
  return options;
}

/**
 * @param {Find} find
 * @param {string} root
 * @param {string} id
 */
function option({ entry, terms }, root, id) {
  const link = document.createElement("a");
  link.className = "bench-find";
  link.id = id;
  link.href = addressOf(entry.url, root);
  link.setAttribute("role", "option");
  link.setAttribute("aria-selected", "false");
  link.dataset.kind = entry.kind;
  link.tabIndex = -1;
  const head = element("span", "bench-find-head");
  const kind = element("span", "bench-find-kind", KINDS[entry.kind] ?? entry.kind);
  head.append(kind, " ", said("bench-find-title", marked(entry.title, terms)));
  if (entry.page) head.append(" ", said("bench-find-page", marked(entry.page, terms)));
  link.append(head);
  if (entry.said) link.append(" ", said("bench-find-said", marked(entry.said, terms)));
  if (entry.text && entry.kind !== "spec") link.append(" ", said("bench-find-text", excerpt(entry.text, terms)));
  return link;
}

/**
 * @param {string} name class
 * @param {readonly import("./excerpt.js").Piece[]} pieces
 */
function said(name, pieces) {
  const span = element("span", name);
  // A name may run from right to left; its neighbours do not.
  span.dir = "auto";
  span.append(...pieces.map((piece) => (piece.found ? element("mark", "bench-find-mark", piece.text) : piece.text)));
  return span;
}

/**
 * @param {string} tag
 * @param {string} name class
 * @param {string} [text]
 */
export function element(tag, name, text = "") {
  const node = document.createElement(tag);
  node.className = name;
  node.textContent = text;
  return node;
}
