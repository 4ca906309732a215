// The stack, one part at a time. A part whose words do not fit takes as many screens as it needs; nothing ever scrolls.

import { divided } from "./divide.js";

/**
 * One screen: a step, and which of its chunks it shows.
 * @typedef {{ step: HTMLElement, chunks: HTMLElement[] }} Screen
 */

/** @type {WeakMap<Element, HTMLElement[]>} the chunks of each step as the page has them, before any was divided */
const whole = new WeakMap();

/**
 * Lays the chunks of every step out over as many screens as they need.
 * @param {HTMLElement[]} steps
 * @returns {Screen[]}
 */
export function layOut(steps) {
  return steps.flatMap((step) => {
    const frame = /** @type {HTMLElement} */ (step.querySelector(".wall-chunks"));
    const chunks = whole.get(step) ?? /** @type {HTMLElement[]} */ ([...frame.children]);
    whole.set(step, chunks);
    const current = step.hasAttribute("data-current");
    step.setAttribute("data-current", "");
    const screens = spread(frame, chunks);
    step.toggleAttribute("data-current", current);
    return screens.map((on) => ({ step, chunks: on }));
  });
}

/**
 * @param {HTMLElement} frame
 * @param {HTMLElement[]} chunks
 * @returns {HTMLElement[][]}
 */
function spread(frame, chunks) {
  const fits = () => frame.scrollHeight <= frame.clientHeight;
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
    // What is only good to know is shown where there is room, or not at all.
    if (chunk.hasAttribute("data-spare")) break;
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
 */
export function show(screen, steps, drawing) {
  for (const step of steps) step.toggleAttribute("data-current", step === screen.step);
  const frame = /** @type {HTMLElement} */ (screen.step.querySelector(".wall-chunks"));
  frame.replaceChildren(...screen.chunks);
  light(drawing, screen.step.dataset.step, steps);
  screen.step.focus({ preventScroll: true });
}

/**
 * @param {Element | null} drawing
 * @param {string | undefined} current
 * @param {HTMLElement[]} steps
 */
function light(drawing, current, steps) {
  if (!drawing) return;
  const order = steps.map((step) => step.dataset.step);
  const reached = new Set(current === undefined ? order : order.slice(0, order.indexOf(current) + 1));
  let view = "0";
  for (const part of drawing.querySelectorAll("[data-step]")) {
    const { step, view: own } = /** @type {SVGElement} */ (part).dataset;
    part.toggleAttribute("data-in", reached.has(step));
    part.toggleAttribute("data-current", step === current);
    if (step === current && own) view = own;
  }
  // A tall stack is looked at in several views; the one that holds the current part is shown.
  const views = (drawing.getAttribute("data-views") ?? "").split(";");
  const box = views[Number(view)];
  if (box) drawing.setAttribute("viewBox", box);
}
