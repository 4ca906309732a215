// The current job on the wall, and the way to the next one that is open.

import { RecordDatabase } from "../records/record-database.js";
import { JOB, Remembered } from "../records/remembered.js";
import { Store } from "../page/store.js";

// Keys of remotes and keyboards that nothing else on the wall uses.
const NEXT_JOB = new Set(["ColorF0Red", "ContextMenu", "Info", "j", "J"]);

/** @typedef {{at: string, id: string, number: string, state: string, opened: string}} Job */

/**
 * Shows which job this browser works on. One press goes to the next that is open, the one that was opened first comes first.
 *
 * @param {string} assets address of the folder that the wall's script lies in: it tells manuals apart
 */
export function showJob(assets) {
  const place = document.querySelector("[data-bench=wall-job]");
  if (!(place instanceof HTMLButtonElement)) return;
  const prefix = `benchleaf:${new URL(".", assets).pathname}:`;
  const store = new Store(() => localStorage, prefix);
  const tab = new Store(() => sessionStorage, prefix);
  const records = new RecordDatabase(`${prefix}jobs`);
  const remembered = new Remembered({ records, store });
  let next = "";
  const show = async () => {
    const all = (await records.all("job")).filter(isJob);
    const open = all.filter(({ state }) => state === "open").sort((one, other) => (one.opened < other.opened ? -1 : 1));
    const current = all.find(({ id }) => id === remembered.get(JOB));
    const following = open[(open.findIndex(({ id }) => id === current?.id) + 1) % open.length];
    next = following && following !== current ? following.id : "";
    const said = current ? `Job ${current.number || "without a number"}${current.state === "open" ? "" : ", closed"}` : "No job";
    const words = next ? `${said} · next: ${following?.number || "without a number"}` : said;
    const before = `${place.hidden} ${place.textContent}`;
    place.textContent = words;
    place.hidden = all.length === 0;
    place.disabled = next === "";
    // The screen is laid out anew where the line below it needs more room.
    if (before !== `${place.hidden} ${place.textContent}`) window.dispatchEvent(new Event("resize"));
  };
  const choose = () => {
    if (!next) return;
    tab.set(JOB, next);
    void remembered.set(JOB, next); // Its change shows it.
  };
  place.addEventListener("click", choose);
  document.addEventListener(
    "keydown",
    (event) => {
      if (!NEXT_JOB.has(event.key) || event.ctrlKey || event.altKey || event.metaKey || event.repeat || !next) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      choose();
    },
    { capture: true },
  );
  document.addEventListener("contextmenu", (event) => next && event.preventDefault()); // The key of a remote opens no menu.
  records.addEventListener("change", () => void show());
  window.addEventListener("storage", () => void show());
  void remembered.recover().then(show);
}

/**
 * @param {any} value
 * @returns {value is Job}
 */
function isJob(value) {
  const { id, number, state, opened } = value;
  return [id, number, state, opened].every((one) => typeof one === "string");
}
