/** What the scripts know of the theme's pages. For another theme, this is the only script to replace. */

/**
 * Puts something into the page's header, where a reader looks for the search; without a header, at the top of the page.
 *
 * @param {HTMLElement} element
 */
export function putIntoHeader(element) {
  const header = document.querySelector(".md-header__inner");
  if (header) header.append(element);
  else document.body.prepend(element);
}

/**
 * How far down the page's header covers its content.
 *
 * @param {Document} page
 * @returns {number} in pixels from the top of the window
 */
export function headerBottom(page) {
  return Math.max(0, page.querySelector(".md-header")?.getBoundingClientRect().bottom ?? 0);
}
