const LONGEST = 120; // Characters that an entry of a job has for a page: of a longer path its end tells pages apart.
const LONGEST_TITLE = 100;

/**
 * The page of an address below the manual's first page, so that it is the same served and from a folder.
 *
 * @param {{href: string}} address
 */
export function pageOf({ href }) {
  const root = new URL(document.querySelector("[data-manual-root]")?.getAttribute("data-manual-root") ?? "./", document.baseURI).pathname;
  const path = new URL(href).pathname.replace(/index\.html$/, "");
  return (path.startsWith(root) ? path.slice(root.length) : path).slice(-LONGEST);
}

/** What this page is called, without the sign that links to its heading. */
export function titleOfPage() {
  const words = (document.querySelector("h1")?.textContent ?? "").replace(/\s+/g, " ");
  return words.replace(/¶\s*$/, "").trim().slice(0, LONGEST_TITLE);
}

/**
 * @param {string} folder address of a page's folder, with a slash at its end
 * @returns {string} what a link to the page names: from a disk no server sends the folder's page
 */
export function linkTo(folder) {
  return location.protocol === "file:" ? `${folder}index.html` : folder;
}
