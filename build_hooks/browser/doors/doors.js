/** Links as large as doors, and the arrow keys of a keyboard or a remote that go from one to the next. */

import { nearest, wayOf } from "../page/arrows.js";

const DOORS = ".bench-doors a[href]";

/** Lets the arrow keys reach the doors of the page. Beyond the last one they scroll, as ever. */
export function defineDoors() {
  if (!document.querySelector(DOORS)) return;
  document.addEventListener("keydown", (event) => {
    const way = wayOf(event);
    if (!way || event.shiftKey) return;
    const doors = /** @type {HTMLElement[]} */ ([...document.querySelectorAll(DOORS)]).filter((door) => door.offsetParent);
    const next = doorFrom(document.activeElement, way, doors);
    if (!next) return;
    event.preventDefault();
    next.focus();
    next.scrollIntoView({ block: "nearest" });
  });
}

/**
 * The door that a key leads to: from a door its neighbour, from nowhere the first. Who is at something else keeps the keys.
 *
 * @param {Element | null} from
 * @param {import("../page/arrows.js").Way} way
 * @param {HTMLElement[]} doors
 */
function doorFrom(from, way, doors) {
  if (!from || from === document.body) return way.sign > 0 ? doors[0] : undefined;
  return from instanceof HTMLElement && doors.includes(from) ? nearest(from, way, doors) : undefined;
}
