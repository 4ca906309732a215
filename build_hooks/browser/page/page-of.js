/**
 * The page of an address below the manual's first page, so that it is the same served and from a folder.
 *
 * @param {{href: string}} address
 */
export function pageOf({ href }) {
  const root = new URL(document.querySelector("[data-manual-root]")?.getAttribute("data-manual-root") ?? "./", document.baseURI).pathname;
  const path = new URL(href).pathname.replace(/index\.html$/, "");
  return path.startsWith(root) ? path.slice(root.length) : path;
}
