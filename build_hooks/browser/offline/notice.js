import { TEXTS } from "./offline-texts.js";

/**
 * Says in words that there is a new edition, at the foot of the window. Neither the focus nor the page is moved.
 *
 * @param {() => void} load what the reader asks for
 * @param {string} [more] what else there is to say of it
 */
export function sayNewEdition(load, more = "") {
  if (document.querySelector("[data-bench=edition]")) return;
  const menu = document.querySelector("[data-bench=wall-menu]");
  if (menu) return void menu.append(wallEntry(load, more));
  // A stack on the wall is being worked at; its list says it.
  if (document.querySelector("[data-bench=wall]")) return;
  const bar = made("div", { class: "bench-edition", "data-bench": "edition", role: "status" });
  document.body.append(bar);
  const said = made("p", {}, `${TEXTS.newEdition} ${more}`.trim());
  const loading = button("load-edition", TEXTS.load, load);
  const later = button("edition-later", TEXTS.later, () => bar.remove());
  // A little later: a reader of screens must know the bar before it speaks.
  setTimeout(() => bar.append(said, loading, later), 100);
}

/** @param {string} text a line at the foot of the page */
export function sayAtFoot(text) {
  const foot = document.querySelector("footer:last-of-type");
  // The foot of the wall has no room; it says itself that the screen must be set to stay on.
  if (foot && !document.querySelector("[data-bench=wall]")) foot.append(made("p", { class: "bench-served", "data-bench": "served" }, text));
}

/**
 * An entry of the wall's menu, reached by the same keys as the others.
 *
 * @param {() => void} load
 * @param {string} more
 */
function wallEntry(load, more) {
  const entry = made("li", { "data-bench": "edition" });
  const link = made("a", { class: "wall-card", href: "#", "data-bench": "load-edition" });
  const about = `${more} ${TEXTS.load}.`.trim();
  link.append(made("span", { class: "wall-number" }), made("span", { class: "wall-name" }, TEXTS.newEdition), made("span", { class: "wall-about" }, about));
  link.addEventListener("click", (event) => {
    event.preventDefault();
    load();
  });
  entry.append(link);
  return entry;
}

/**
 * @param {string} name
 * @param {string} text
 * @param {() => void} action
 */
function button(name, text, action) {
  const pressed = made("button", { type: "button", "data-bench": name }, text);
  pressed.addEventListener("click", action);
  return pressed;
}

/**
 * @param {string} tag
 * @param {Record<string, string>} attributes
 * @param {string} text
 */
function made(tag, attributes, text = "") {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.textContent = text;
  return element;
}
