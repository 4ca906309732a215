/** @typedef {[string, Record<string, string>, (ElementData | string)[]]} ElementData tag, attributes, children */

const SVG = "http://www.w3.org/2000/svg";

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
