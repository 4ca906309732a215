/** @typedef {Record<string, string | boolean | number | undefined | ((event: any) => void)>} Given attributes, and listeners as `onclick` */

/**
 * An element of ours. Texts stay texts; what the engine gives as data goes through node-maker.js.
 *
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Given} [given]
 * @param {(Node | string | null | undefined | false)[]} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function make(tag, given = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(given)) {
    if (typeof value === "function") made.addEventListener(name.slice(2), value);
    else if (value !== undefined && value !== false) made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return made;
}

/**
 * @param {string} words
 * @param {(event: any) => void} onclick
 * @param {Given} [more]
 */
export function button(words, onclick, more = {}) {
  return make("button", { type: "button", onclick, ...more }, words);
}

/**
 * A button that asks once more before it does what cannot be undone.
 *
 * @param {string} words
 * @param {string} sure
 * @param {() => void} then
 * @param {string} name
 */
export function twice(words, sure, then, name) {
  const pressed = button(words, () => {
    if (pressed.textContent === sure) return then();
    pressed.textContent = sure;
  }, { "data-bench": name, class: "bench-quiet", onblur: () => void (pressed.textContent = words) }); // prettier-ignore
  return pressed;
}
