/**
 * @typedef {object} Item one child of a place
 * @property {string} key tells it from the others of its place
 * @property {string} shown what it shows, as text: a node is made anew only when this changes
 * @property {() => Node} make
 */

/**
 * Children of a place that stay the same nodes while they show the same. What is replaced between the moment a finger goes down and the
 * moment it lifts is not pressed, and loses the focus.
 */
export class KeptNodes {
  /** @type {Map<string, {shown: string, node: Node}>} */
  #known = new Map();

  /** @param {Element} place nobody else changes its children */
  constructor(place) {
    this.place = place;
  }

  /** @param {Item[]} items in the order in which they are to stand */
  show(items) {
    const before = this.#known;
    this.#known = new Map(items.map(({ key, shown, make }) => [key, kept(before.get(key), shown, make)]));
    for (const [key, { node }] of before) if (this.#known.get(key)?.node !== node) this.place.removeChild(node);
    let next = this.place.firstChild;
    for (const { node } of this.#known.values()) {
      if (node === next) next = next.nextSibling;
      else this.place.insertBefore(node, next);
    }
  }
}

/**
 * @param {{shown: string, node: Node} | undefined} before
 * @param {string} shown
 * @param {() => Node} make
 */
function kept(before, shown, make) {
  return before?.shown === shown ? before : { shown, node: make() };
}
