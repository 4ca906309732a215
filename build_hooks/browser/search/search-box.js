/** The search box: a field with a list to choose from (the combobox of the ARIA practices), by keyboard, remote or touch. */

import { element, resultItems } from "./result-list.js";
import { TEXTS } from "./search-texts.js";

/** So many results are shown; more are not looked at, they are narrowed down. */
const MOST = 20;
/** What is read aloud waits until typing rests. */
const REST_MS = 700;
const ID = "bench-search";
/** @type {import("./finder.js").Finds} */
const NOTHING = { finds: [], whole: 0, inOrder: true, all: 0, instead: [] };

export class SearchBox {
  #source;
  #root;
  #parts = parts();
  /** Which option is chosen; -1 for none. */
  #at = -1;
  /** The words whose results are shown. */
  #shown = "";
  #resting = 0;
  #asked = 0;

  /**
   * @param {import("./index-source.js").IndexSource} source
   * @param {string} root address of the site's root
   */
  constructor(source, root) {
    this.#source = source;
    this.#root = root;
    const { box, open, field, clear, close, panel, list } = this.#parts;
    open.addEventListener("click", () => this.open());
    close.addEventListener("click", () => this.close());
    clear.addEventListener("click", () => this.#clear());
    field.addEventListener("focus", () => this.open());
    field.addEventListener("input", () => (this.#isOpen ? void this.#ask() : this.open()));
    field.addEventListener("keydown", (event) => this.#onKey(event));
    box.addEventListener("focusout", (event) => this.#onLeave(event.relatedTarget));
    // The field keeps the focus while the list is touched; a link is followed all the same.
    panel.addEventListener("mousedown", (event) => event.preventDefault());
    list.addEventListener("click", (event) => this.#onPick(event));
    document.addEventListener("pointerdown", (event) => this.#onLeave(event.target));
  }

  get #isOpen() {
    return this.#parts.box.dataset.open === "true";
  }

  get element() {
    return this.#parts.box;
  }

  /** @param {string} [words] to look for */
  open(words) {
    const { box, field, panel } = this.#parts;
    const isNew = !this.#isOpen || words !== undefined;
    box.dataset.open = "true";
    panel.hidden = false;
    if (words !== undefined) field.value = words;
    if (document.activeElement !== field) field.focus();
    if (isNew) void this.#ask();
  }

  /** The field keeps the focus; on a phone it is gone now, and the button that opens it takes the focus back. */
  close() {
    const { box, field, panel, open } = this.#parts;
    const hadFocus = box.contains(document.activeElement);
    box.dataset.open = "false";
    panel.hidden = true;
    this.#choose(-1);
    field.setAttribute("aria-expanded", "false");
    if (hadFocus && open.offsetParent) open.focus();
  }

  #clear() {
    this.#parts.field.value = "";
    this.#parts.field.focus();
    void this.#ask();
  }

  /** @param {EventTarget | null} to */
  #onLeave(to) {
    if (this.#isOpen && to instanceof Node && !this.#parts.box.contains(to)) this.close();
  }

  /**
   * A find may be on this very page: the list must not stay on top of it.
   *
   * @param {MouseEvent} event
   */
  #onPick(event) {
    if (!(event.target instanceof Element && event.target.closest("a"))) return;
    this.close();
    if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
  }

  /** @param {KeyboardEvent} event */
  #onKey(event) {
    if (event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
    // Who presses the key for the search again has the search already: nothing that is sought begins with a slash.
    if (event.key === "/" && !this.#parts.field.value) {
      event.preventDefault();
      this.open();
      return;
    }
    const act = this.#isOpen ? this.#acts()[event.key] : event.key === "ArrowDown" && (() => this.open());
    if (!act) return;
    event.preventDefault();
    act();
  }

  /** @returns {Record<string, () => void>} */
  #acts() {
    const last = this.#options().length - 1;
    return {
      ArrowDown: () => this.#choose(this.#at >= last ? -1 : this.#at + 1),
      ArrowUp: () => this.#choose(this.#at < 0 ? last : this.#at - 1),
      Enter: () => void this.#enter(),
      Escape: () => this.#back(),
      GoBack: () => this.#back(),
      BrowserBack: () => this.#back(),
    };
  }

  #back() {
    if (this.#at >= 0) this.#choose(-1);
    else if (this.#parts.field.value) this.#clear();
    else this.close();
  }

  /** Opens what is chosen, else the best; what was typed a moment ago is looked for first. */
  async #enter() {
    if (this.#parts.field.value.trim() !== this.#shown) await this.#ask();
    this.#options()[Math.max(0, this.#at)]?.click();
  }

  /** @returns {HTMLAnchorElement[]} */
  #options() {
    return [...this.#parts.list.querySelectorAll("a")];
  }

  /** @param {number} to */
  #choose(to) {
    const { field } = this.#parts;
    const options = this.#options();
    options[this.#at]?.setAttribute("aria-selected", "false");
    this.#at = to < options.length ? to : -1;
    const chosen = options[this.#at];
    if (!chosen) {
      field.removeAttribute("aria-activedescendant");
      return;
    }
    chosen.setAttribute("aria-selected", "true");
    field.setAttribute("aria-activedescendant", chosen.id);
    chosen.scrollIntoView({ block: "nearest" });
  }

  async #ask() {
    const { field, clear } = this.#parts;
    const typed = field.value.trim();
    const asked = (this.#asked += 1);
    clear.hidden = !field.value;
    try {
      if (!this.#shown) this.#say(typed ? TEXTS.loading : TEXTS.start);
      const finder = await this.#source.finder();
      // More may have been typed while the index was read.
      if (asked === this.#asked) this.#show(typed, typed ? finder.find(typed) : NOTHING);
    } catch {
      if (asked === this.#asked) this.#say(TEXTS.failed);
    }
  }

  /**
   * @param {string} typed
   * @param {import("./finder.js").Finds} found
   */
  #show(typed, { finds, whole, inOrder, all, instead }) {
    const { field, list, panel } = this.#parts;
    const shown = finds.slice(0, MOST);
    this.#choose(-1);
    this.#shown = typed;
    list.replaceChildren(...resultItems(shown, inOrder ? whole : 0, this.#root, ID));
    list.hidden = !shown.length;
    panel.scrollTop = 0;
    field.setAttribute("aria-expanded", String(shown.length > 0));
    if (!typed) this.#say(TEXTS.start);
    else if (!finds.length) this.#sayNothing(typed);
    else {
      const more = instead.length ? [TEXTS.instead(instead)] : [];
      this.#say([counted(inOrder || !whole ? whole : all, all, shown.length), ...more].join(" "));
    }
  }

  /** @param {string} typed */
  #sayNothing(typed) {
    const name = element("bdi", "bench-search-typed", `“${typed}”`);
    this.#say(TEXTS.noneHead, name, `. ${TEXTS.noneTry}`);
  }

  /** @param {(string | Node)[]} what */
  #say(...what) {
    const { said, status } = this.#parts;
    said.replaceChildren(...what);
    window.clearTimeout(this.#resting);
    this.#resting = window.setTimeout(() => {
      status.textContent = said.textContent;
    }, REST_MS);
  }
}

/**
 * How many were found, in words.
 *
 * @param {number} whole have all that was asked for
 * @param {number} all
 * @param {number} shown
 */
function counted(whole, all, shown) {
  if (!whole) return TEXTS.someCount(shown);
  return whole < all ? TEXTS.wholeCount(whole) : TEXTS.count(all, shown);
}

/** The box as nodes. */
function parts() {
  const box = document.createElement("search");
  box.className = "bench-search";
  box.dataset.bench = "search";
  const open = button("bench-search-open", TEXTS.search);
  const row = element("div", "bench-search-row");
  const field = document.createElement("input");
  field.className = "bench-search-field";
  field.type = "text";
  field.inputMode = "search";
  field.enterKeyHint = "go";
  field.placeholder = TEXTS.hint;
  field.autocomplete = "off";
  field.spellcheck = false;
  field.dir = "auto";
  const given = {
    role: "combobox",
    autocapitalize: "off",
    autocorrect: "off",
    "aria-label": TEXTS.label,
    "aria-autocomplete": "list",
    "aria-expanded": "false",
    "aria-controls": `${ID}-list`,
  };
  for (const [name, value] of Object.entries(given)) field.setAttribute(name, value);
  const clear = button("bench-search-clear", TEXTS.clear);
  clear.hidden = true;
  const close = button("bench-search-close", TEXTS.close);
  row.append(field, clear, close);
  const panel = element("div", "bench-search-panel");
  panel.hidden = true;
  const said = element("p", "bench-search-said");
  const status = element("p", "bench-search-status");
  status.setAttribute("role", "status");
  const list = element("div", "bench-search-list");
  list.id = `${ID}-list`;
  list.hidden = true;
  list.setAttribute("role", "listbox");
  list.setAttribute("aria-label", TEXTS.results);
  panel.append(said, list, element("p", "bench-search-keys", TEXTS.keys));
  box.append(open, row, panel, status);
  return { box, open, field, clear, close, panel, said, status, list };
}

/**
 * @param {string} name class
 * @param {string} text
 */
function button(name, text) {
  const node = document.createElement("button");
  node.type = "button";
  node.className = name;
  node.textContent = text;
  return node;
}
