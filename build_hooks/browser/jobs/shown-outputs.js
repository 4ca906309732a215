/**
 * What an answer shows of each output, for a record that is looked at months later. `calc_engine.shown_outputs` says the same.
 *
 * @typedef {import("../page/node-maker.js").ElementData} ElementData
 * @param {ElementData} panel an answer as data
 * @returns {Record<string, string | Record<string, string>[]>} the text of each output; of a table its rows, by the heads of the columns
 */
export function shownOutputs(panel) {
  const found = all(panel).filter(([, attributes]) => attributes["data-output"] !== undefined);
  return Object.fromEntries(found.map((one) => [one[1]["data-output"], one[0] === "table" ? rowsOf(one) : textOf(one)]));
}

/**
 * @param {ElementData} element
 * @returns {ElementData[]} it and all elements in it, in order
 */
function all(element) {
  return [element, ...element[2].flatMap((child) => (typeof child === "string" ? [] : all(child)))];
}

/** @param {ElementData} table */
function rowsOf(table) {
  const rows = all(table).filter(([tag]) => tag === "tr");
  const cells = rows.map((row) => all(row).filter(([, attributes]) => attributes["data-label"] !== undefined));
  return cells.filter((row) => row.length > 0).map((row) => Object.fromEntries(row.map((cell) => [cell[1]["data-label"], textOf(cell)])));
}

/**
 * @param {ElementData} element
 * @returns {string} elements side by side are lines of their own
 */
function textOf([, , children]) {
  const parts = children.map((child) => (typeof child === "string" ? child : textOf(child)));
  return parts.join(children.some((child) => typeof child === "string") ? "" : "; ");
}
