/** Puts the search box into the page's header, and opens it by key or by address. */

import { IndexSource } from "./index-source.js";
import { SearchBox } from "./search-box.js";
import { putIntoHeader } from "../page/theme.js";

const script = document.currentScript;
const address = script instanceof HTMLScriptElement ? script.src : document.baseURI;
// The script lies two folders below the root of the site.
const root = new URL("../../", address).href;

const box = new SearchBox(new IndexSource(new URL("search-index.js", address).href), root);
putIntoHeader(box.element);

document.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.isComposing) return;
  if (!["/", "s", "S"].includes(event.key) || isWrittenIn(event.target)) return;
  event.preventDefault();
  box.open();
});

// Other pages, such as those on the wall, may lead here: index.html?search=snap+ring
const asked = new URLSearchParams(location.search).get("search");
if (asked !== null) box.open(asked);

/** @param {EventTarget | null} target */
function isWrittenIn(target) {
  return target instanceof HTMLElement && (target.isContentEditable || target.matches("input, textarea, select"));
}
