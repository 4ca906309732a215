// The stack, one part at a time. A part whose words do not fit takes as many screens as it needs; nothing ever scrolls.

/**
 * One screen: a step, and which of its chunks stand on it.
 * @typedef {{ step: HTMLElement, chunks: HTMLElement[] }} Screen
 */

/**
 * Lays the chunks of every step out over as many screens as they need.
 * @param {HTMLElement[]} steps
 * @returns {Screen[]}
 */
export function layOut(steps) {
  return steps.flatMap((step) => {
    const frame = /** @type {HTMLElement} */ (step.querySelector(".wall-chunks"));
    const chunks = /** @type {HTMLElement[]} */ ([...frame.children]);
    step.setAttribute("data-current", "");
    const screens = spread(frame, chunks);
    step.removeAttribute("data-current");
    return screens.map((on) => ({ step, chunks: on }));
  });
}

/**
 * @param {HTMLElement} frame
 * @param {HTMLElement[]} chunks
 * @returns {HTMLElement[][]}
 */
function spread(frame, chunks) {
  /** @type {HTMLElement[][]} */
  const screens = [];
  /** @type {HTMLElement[]} */
  let here = [];
  for (const chunk of chunks) {
    here.push(chunk);
    showOnly(chunks, here);
    // A chunk alone on its screen stays there, whatever its size: it has been made as small as letters may be.
    if (frame.scrollHeight > frame.clientHeight && here.length > 1) {
      here.pop();
      screens.push(here);
      here = [chunk];
    }
  }
  screens.push(here);
  return screens;
}

/**
 * @param {HTMLElement[]} all
 * @param {HTMLElement[]} shown
 */
export function showOnly(all, shown) {
  for (const chunk of all) chunk.hidden = !shown.includes(chunk);
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
  showOnly(/** @type {HTMLElement[]} */ ([...frame.children]), screen.chunks);
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
  const reached = current === undefined ? order : order.slice(0, order.indexOf(current) + 1);
  let view = "0";
  for (const part of drawing.querySelectorAll("[data-step]")) {
    const { step, view: own } = /** @type {SVGElement} */ (part).dataset;
    part.toggleAttribute("data-in", reached.includes(step));
    part.toggleAttribute("data-current", step === current);
    if (step === current && own) view = own;
  }
  // A tall stack is looked at in several views; the one that holds the current part is shown.
  const views = (drawing.getAttribute("data-views") ?? "").split(";");
  const box = views[Number(view)];
  if (box) drawing.setAttribute("viewBox", box);
}
