// The stack, one part at a time. What must be seen stands on one screen where it can; nothing ever scrolls.

import { divided } from "./divide.js";

/**
 * One screen: a step, and which of its chunks it shows.
 * @typedef {{ step: HTMLElement, chunks: HTMLElement[], isAside: boolean, isTight: boolean }} Screen
 *   an aside tells what is good to know and had no room; a tight one does without the name of the pack
 */

/** @type {WeakMap<Element, HTMLElement[]>} the chunks of each step as the page has them, before any was divided */
const whole = new WeakMap();

/**
 * Lays the chunks of every step out over as many screens as they need.
 * @param {HTMLElement[]} steps
 * @param {HTMLElement} wall
 * @returns {Screen[]}
 */
export function layOut(steps, wall) {
  return steps.flatMap((step) => {
    const frame = /** @type {HTMLElement} */ (step.querySelector(".wall-chunks"));
    const chunks = whole.get(step) ?? /** @type {HTMLElement[]} */ ([...frame.children]);
    whole.set(step, chunks);
    const current = step.hasAttribute("data-current");
    step.setAttribute("data-current", "");
    const screens = screensOf(step, frame, chunks, wall);
    step.toggleAttribute("data-current", current);
    return screens;
  });
}

/**
 * @param {HTMLElement} step
 * @param {HTMLElement} frame
 * @param {HTMLElement[]} chunks
 * @param {HTMLElement} wall
 * @returns {Screen[]}
 */
function screensOf(step, frame, chunks, wall) {
  const fits = () => frame.scrollHeight <= frame.clientHeight;
  const holds = (/** @type {HTMLElement[]} */ shown) => {
    frame.replaceChildren(...shown);
    return fits();
  };
  const must = chunks.filter((chunk) => !chunk.hasAttribute("data-aside") && !chunk.hasAttribute("data-spare"));
  const rest = chunks.filter((chunk) => chunk.hasAttribute("data-aside"));
  const spare = chunks.filter((chunk) => chunk.hasAttribute("data-spare"));
  const tighten = (/** @type {boolean} */ isTight) => wall.toggleAttribute("data-tight", isTight);
  tighten(false);
  const isTight = !holds(must);
  tighten(isTight);
  const main = holds(must) ? [must] : spread(frame, must, fits);
  // The last screen of what must be seen takes in what else has room, each in its place.
  const inOrder = (/** @type {HTMLElement[]} */ some) => chunks.filter((chunk) => some.includes(chunk));
  let last = main.pop() ?? [];
  const isWhole = last.every((chunk) => chunks.includes(chunk));
  /** @type {HTMLElement[]} */
  const left = [];
  for (const chunk of rest) {
    const more = isWhole ? inOrder([...last, chunk]) : [...last, chunk];
    if (holds(more)) last = more;
    else left.push(chunk);
  }
  for (const chunk of left.length ? [] : spare) {
    if (!holds([...last, chunk])) break;
    last = [...last, chunk];
  }
  const asides = left.length ? spread(frame, left, fits) : [];
  tighten(false);
  return [
    ...[...main, last].map((shown) => ({ step, chunks: shown, isAside: false, isTight })),
    ...asides.map((shown) => ({ step, chunks: shown, isAside: true, isTight })),
  ];
}

/**
 * @param {HTMLElement} frame
 * @param {HTMLElement[]} chunks
 * @param {() => boolean} fits whether the content of the frame fits
 * @returns {HTMLElement[][]}
 */
function spread(frame, chunks, fits) {
  /** @type {HTMLElement[][]} */
  const screens = [];
  /** @type {HTMLElement[]} */
  let here = [];
  for (const chunk of chunks) {
    frame.replaceChildren(...here, chunk);
    if (fits()) {
      here.push(chunk);
      continue;
    }
    if (here.length) screens.push(here);
    frame.replaceChildren(chunk);
    const pieces = fits() ? [chunk] : divided(chunk, frame, fits);
    screens.push(...pieces.slice(0, -1).map((piece) => [piece]));
    here = pieces.slice(-1);
  }
  screens.push(here);
  return screens;
}

/**
 * Shows one screen and lights its part on the drawing.
 * @param {Screen} screen
 * @param {HTMLElement[]} steps
 * @param {Element | null} drawing
 * @param {HTMLElement} wall
 */
export function show(screen, steps, drawing, wall) {
  for (const step of steps) step.toggleAttribute("data-current", step === screen.step);
  const frame = /** @type {HTMLElement} */ (screen.step.querySelector(".wall-chunks"));
  frame.replaceChildren(...screen.chunks);
  wall.toggleAttribute("data-tight", screen.isTight);
  light(drawing, screen.step, steps);
  screen.step.focus({ preventScroll: true });
}

/**
 * @param {Element | null} drawing
 * @param {HTMLElement} screen the step that is shown
 * @param {HTMLElement[]} steps
 */
function light(drawing, screen, steps) {
  if (!drawing) return;
  // A part that two packs share has a step in each; both light the one part of the drawing.
  const lit = (/** @type {HTMLElement} */ step) => (step.dataset.part ? step.dataset.lights ?? step.dataset.step : undefined);
  const current = lit(screen);
  const reached = steps.slice(0, steps.indexOf(screen) + 1).map(lit);
  const isIn = new Set(reached);
  // Where no part is current, the view of the part that went in last is shown; at the end that of the first.
  const seen = screen.dataset.step ? reached.findLast(Boolean) : undefined;
  let view = "0";
  for (const part of drawing.querySelectorAll("[data-step]")) {
    const { step, view: own } = /** @type {SVGElement} */ (part).dataset;
    part.toggleAttribute("data-in", isIn.has(step));
    part.toggleAttribute("data-current", step === current);
    if (step === seen && own) view = own;
  }
  // A tall stack is looked at in several views; the one that holds the current part is shown.
  const views = (drawing.getAttribute("data-views") ?? "").split(";");
  const box = views[Number(view)];
  if (box) drawing.setAttribute("viewBox", box);
}
