import { button, make } from "../page/make.js";
import { TEXTS } from "./learning-texts.js";

/** @typedef {{id: string, name: string, size: string}} Screen a screen of the shop; the build has worked out how large its letters must be */

const KEY = "letters";

/**
 * Lets a page be read from across the bay, on one of the shop's screens; the choice stays with this browser.
 *
 * @param {import("../page/store.js").Store} store
 * @param {Screen[]} screens
 * @returns {HTMLElement} the choice; empty where the shop has no screen
 */
export function lettersChoice(store, screens) {
  const asked = new URLSearchParams(location.search).get("screen");
  if (screens.some(({ id }) => id === asked)) store.set(KEY, asked);
  const place = make("div", { class: "bench-letters", role: "group", "aria-label": TEXTS.letters });
  if (screens.length === 0) return place;
  /** @param {string | null} id */
  const choose = (id) => {
    store.set(KEY, id);
    show();
    const chosen = place.querySelector("[aria-pressed=true]");
    if (!(chosen instanceof HTMLElement)) return;
    chosen.focus();
    chosen.scrollIntoView({ block: "center" });
  };
  const show = () => {
    const now = screens.find(({ id }) => id === store.get(KEY)) ?? null;
    const page = document.documentElement;
    page.toggleAttribute("data-letters", now !== null);
    if (now) page.style.setProperty("--screen-letter", now.size);
    else page.style.removeProperty("--screen-letter");
    const choices = [{ id: null, name: TEXTS.lettersUsual }, ...screens].map(({ id, name }) =>
      button(name, () => choose(id), { "aria-pressed": String(id === (now?.id ?? null)), "data-letters-for": id ?? "" }),
    );
    place.replaceChildren(make("span", {}, TEXTS.letters), ...choices);
  };
  show();
  return place;
}
