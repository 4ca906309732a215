/**
 * From a folder nothing opens the page of a folder by itself: its file is named.
 *
 * @param {HTMLAnchorElement} link
 */
export function linkForFolder(link) {
  if (location.protocol !== "file:") return;
  const to = new URL(link.href);
  if (to.protocol !== "file:" || !to.pathname.endsWith("/")) return;
  to.pathname += "index.html";
  link.href = to.href;
}
