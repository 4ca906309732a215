/**
 * A procedure as cards to work through, made from the very page: its elements are shown, none is written twice.
 *
 * @typedef {object} Card
 * @property {string} section the heading it stands under
 * @property {Element[]} cautions signal boxes that stand before the step; they stay in sight at every step that they are for
 * @property {Element[]} before what else stands before it
 * @property {Element[]} nodes the step itself, a form, or what is to be read
 * @property {Element[]} after what stands behind the last step of its list
 * @property {number | null} number of the step in its list; null for what is no step
 * @property {string} words the step, as far as it is needed to find it again
 */

const LONGEST = 300; // Characters that tell a step from all others of its page.
const PASSED_OVER = "h1, bench-job-bar, style, script, .bench-standing, .bench-printed-code, .bench-sign-off, .bench-step-way, dialog";
const INJURY = ".bench-danger, .bench-warning, .bench-caution, .bench-notice";

/**
 * @param {Element} article the content of the page
 * @returns {Card[]}
 */
export function cardsOf(article) {
  /** @type {Card[]} */
  const cards = [];
  let section = "";
  /** @type {Element[]} */
  let cautions = [];
  /** @type {Element[]} */
  let before = [];
  let isBehindList = false;
  const add = (/** @type {Element[]} */ nodes, /** @type {number | null} */ number) => {
    cards.push({ section, cautions, before, nodes, after: [], number, words: wordsOf(nodes) });
    before = [];
  };
  const endSection = () => {
    const last = cards.at(-1);
    if (before.length > 0 && isBehindList && last) last.after.push(...before);
    else if (before.length > 0) {
      const nodes = before;
      before = [];
      add(nodes, null);
    }
    before = [];
    isBehindList = false;
  };
  for (const node of article.children) {
    if (node.matches(PASSED_OVER)) continue;
    if (node.matches("h2, h3, h4")) {
      endSection();
      section = headingOf(node);
      if (node.matches("h2")) cautions = [];
    } else if (node.matches(INJURY)) {
      // Behind a list begins what is for the next one.
      if (isBehindList) endSection();
      cautions = [...cautions, node];
    } else if (node.matches("ol")) {
      isBehindList = false;
      const start = Number(node.getAttribute("start") ?? 1);
      Array.from(node.children).forEach((step, at) => add([step], start + at));
      isBehindList = true;
    } else if (node.matches("bench-timer") && isBehindList) before.push(node); // “Start the timer” shows the timer.
    else if (node.matches("bench-calc, bench-timer")) {
      if (isBehindList) endSection();
      add([node], null);
    } else before.push(node);
  }
  endSection();
  return cards;
}

/** @param {Element} heading */
function headingOf(heading) {
  return (heading.textContent ?? "").replace(/¶$/, "").trim().slice(0, 120);
}

/** @param {Element[]} nodes */
function wordsOf(nodes) {
  return nodes.map((node) => node.textContent ?? "").join(" ").replace(/\s+/g, " ").trim().slice(0, LONGEST);
}
