/** @typedef {[string, Record<string, string>, (ElementData | string)[]]} ElementData tag, attributes, children */

const SVG = "http://www.w3.org/2000/svg";

// All that an answer or a drawing is made of. None of it fetches, runs or leads anywhere.
const TAGS = new Set(
  "caption circle dd details div dl dt g h4 li line ol p path polygon polyline rect span strong summary svg table tbody td text th thead title tr tspan ul".split(" "),
);
const ATTRIBUTE = /^(aria-[a-z]+|class|colspan|cx|cy|d|data-[a-z-]+|fill|height|id|points|r|role|rowspan|scope|text-anchor|transform|viewBox|width|[xy][12]?)$/;

/**
 * Whether data from elsewhere, as from a file, is an element as the engine makes them, and nothing more.
 *
 * @param {unknown} data
 * @returns {data is ElementData}
 */
export function isPanel(data) {
  if (!Array.isArray(data) || data.length !== 3) return false;
  const [tag, attributes, children] = data;
  return (
    TAGS.has(tag) &&
    typeof attributes === "object" && attributes !== null &&
    Object.entries(attributes).every(([name, value]) => ATTRIBUTE.test(name) && typeof value === "string") &&
    Array.isArray(children) && children.every((child) => typeof child === "string" || isPanel(child))
  ); // prettier-ignore
}

/**
 * Nodes from the engine's element data. Markup is never parsed: a text stays a text, whatever it contains.
 *
 * @param {ElementData | string} data
 * @param {boolean} [drawing] whether it is inside an SVG drawing
 * @returns {Node}
 */
export function makeNode(data, drawing = false) {
  if (typeof data === "string") return document.createTextNode(data);
  const [tag, attributes, children] = data;
  const inside = drawing || tag === "svg";
  const node = inside ? document.createElementNS(SVG, tag) : document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children.map((child) => makeNode(child, inside)));
  return node;
}
