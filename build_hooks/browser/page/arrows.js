/**
 * Arrow keys move the focus to the nearest control in their direction, so that a remote control with nothing but arrows and Enter can do
 * everything. In an entry left and right stay with the text.
 *
 * @param {HTMLElement} around
 */
export function walkByArrows(around) {
  around.addEventListener("keydown", (event) => {
    if (!isFree(event)) return;
    const from = event.target;
    if (!(from instanceof HTMLElement)) return;
    if (event.key === "Enter" && from instanceof HTMLInputElement && ["radio", "checkbox"].includes(from.type)) {
      event.preventDefault();
      from.click();
      return;
    }
    const way = WAYS[event.key];
    if (!way || isForText(from, way)) return;
    const inside = way.across || way.sign === -1 ? [] : controlsOf(from);
    const next = inside[0] ?? nearest(from, way, controlsOf(around));
    if (!next) return;
    event.preventDefault();
    // What is in between is there to be read: it is scrolled past, not skipped.
    if (!way.across && isFarOff(next)) return window.scrollBy({ top: (way.sign * innerHeight) / 2 });
    next.focus({ preventScroll: true });
    next.scrollIntoView({ block: "nearest" });
  });
}

/** @typedef {{across: boolean, sign: 1 | -1}} Way */

/** @type {Record<string, Way | undefined>} */
const WAYS = {
  ArrowUp: { across: false, sign: -1 },
  ArrowDown: { across: false, sign: 1 },
  ArrowLeft: { across: true, sign: -1 },
  ArrowRight: { across: true, sign: 1 },
};

/** @param {KeyboardEvent} event */
function isFree(event) {
  return !(event.defaultPrevented || event.altKey || event.ctrlKey || event.metaKey || event.isComposing);
}

/**
 * @param {KeyboardEvent} event
 * @returns {Way | undefined} where its key leads; none for another key, and for one that something else has taken
 */
export function wayOf(event) {
  return isFree(event) ? WAYS[event.key] : undefined;
}

/** @param {HTMLElement} control */
function isFarOff(control) {
  const { top, bottom } = control.getBoundingClientRect();
  return top > innerHeight * 1.25 || bottom < innerHeight * -0.25;
}

/**
 * @param {HTMLElement} from
 * @param {Way} way
 */
function isForText(from, way) {
  if (from instanceof HTMLSelectElement) return true;
  if (!(from instanceof HTMLInputElement) || ["radio", "checkbox", "file", "button"].includes(from.type)) return false;
  return from.type === "date" || way.across;
}

/** @param {HTMLElement} around */
function controlsOf(around) {
  const found = around.querySelectorAll("button:not(:disabled), input:not(:disabled), a[href], summary, select:not(:disabled)");
  return Array.from(found)
    .filter((control) => control instanceof HTMLElement)
    .filter((control) => control.getClientRects().length > 0);
}

/**
 * The nearest in a direction.
 *
 * @param {HTMLElement} from
 * @param {Way} way
 * @param {HTMLElement[]} controls
 * @returns {HTMLElement | null}
 */
export function nearest(from, { across, sign }, controls) {
  const here = from.getBoundingClientRect();
  /** @type {{control: HTMLElement, far: number} | null} */
  let best = null;
  for (const control of controls) {
    if (control === from) continue;
    const there = control.getBoundingClientRect();
    const [gap, aside] = across ? [gapOf(here, there, sign, "left", "right"), asideOf(here, there, "top", "bottom")]
      : [gapOf(here, there, sign, "top", "bottom"), asideOf(here, there, "left", "right")]; // prettier-ignore
    // What lies beside comes before what lies further on but straight ahead only when it is much nearer; across, only the same line counts.
    if (gap < -1 || (across && aside > 0)) continue;
    const far = gap * 4 + aside;
    if (!best || far < best.far) best = { control, far };
  }
  return best?.control ?? null;
}

/**
 * How far one lies from the other in the direction; below zero when it does not lie there.
 *
 * @param {DOMRect} here
 * @param {DOMRect} there
 * @param {1 | -1} sign
 * @param {"left" | "top"} low
 * @param {"right" | "bottom"} high
 */
function gapOf(here, there, sign, low, high) {
  return sign === 1 ? there[low] - here[high] + 2 : here[low] - there[high] + 2;
}

/**
 * How far one lies beside the other; 0 when they overlap.
 *
 * @param {DOMRect} here
 * @param {DOMRect} there
 * @param {"left" | "top"} low
 * @param {"right" | "bottom"} high
 */
function asideOf(here, there, low, high) {
  return Math.max(0, there[low] - here[high], here[low] - there[high]);
}
