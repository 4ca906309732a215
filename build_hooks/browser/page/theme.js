/** What the scripts know of the theme's page. Another theme needs another of these, and nothing else of the scripts. */

/**
 * Puts something into the head of the page, where a reader looks for the search; where there is no such head, on top.
 *
 * @param {HTMLElement} element
 */
export function putIntoHeader(element) {
  const header = document.querySelector(".md-header__inner");
  if (header) header.append(element);
  else document.body.prepend(element);
}

/**
 * How far down the head of a page covers what lies under it.
 *
 * @param {Document} page
 * @returns {number} in pixels from the top of the window
 */
export function headerBottom(page) {
  return Math.max(0, page.querySelector(".md-header")?.getBoundingClientRect().bottom ?? 0);
}
