/** Links as large as doors, and the arrow keys of a keyboard or a remote that go from one to the next. */

const DOORS = ".bench-doors a[href]";

/** @typedef {{ x: number, y: number }} Point */

/** Which way each key goes.
 * @type {Record<string, Point>}
 */
const WAYS = {
  ArrowRight: { x: 1, y: 0 },
  ArrowLeft: { x: -1, y: 0 },
  ArrowDown: { x: 0, y: 1 },
  ArrowUp: { x: 0, y: -1 },
};
/** A door straight ahead is preferred to a nearer one at the side by this much. */
const ASIDE = 3;

/** Lets the arrow keys reach the doors of the page. Beyond the last one they scroll, as ever. */
export function defineDoors() {
  if (!document.querySelector(DOORS)) return;
  document.addEventListener("keydown", (event) => {
    const way = WAYS[event.key];
    if (!way || event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey || event.shiftKey) return;
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
 * @param {Point} way
 * @param {readonly HTMLElement[]} doors
 */
function doorFrom(from, way, doors) {
  if (!from || from === document.body) return way.x + way.y > 0 ? doors[0] : undefined;
  if (!(from instanceof HTMLElement) || !doors.includes(from)) return undefined;
  const start = middle(from);
  const ahead = doors
    .filter((door) => door !== from)
    .map((door) => ({ door, far: farness(start, middle(door), way) }))
    .filter(({ far }) => far < Infinity);
  return ahead.sort((a, b) => a.far - b.far)[0]?.door;
}

/** @param {Element} door
 * @returns {Point}
 */
function middle(door) {
  const box = door.getBoundingClientRect();
  return { x: box.left + box.width / 2, y: box.top + box.height / 2 };
}

/**
 * @param {Point} from
 * @param {Point} to
 * @param {Point} way
 */
function farness(from, to, way) {
  const ahead = (to.x - from.x) * way.x + (to.y - from.y) * way.y;
  const aside = Math.abs((to.x - from.x) * way.y) + Math.abs((to.y - from.y) * way.x);
  return ahead > 1 ? ahead + ASIDE * aside : Infinity;
}
