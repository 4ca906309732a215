/** Says of each drawing whether it fits its frame: one that does not can be moved sideways, and part of it is out of sight until then. */
export function watchDrawings() {
  const sizes = new ResizeObserver((changed) => {
    for (const { target } of changed) tellWhetherItFits(target);
  });
  for (const frame of document.querySelectorAll(".bench-stack-frame")) sizes.observe(frame);
}

/** @param {Element} frame */
function tellWhetherItFits(frame) {
  const fits = frame.scrollWidth <= frame.clientWidth + 1; // The browser rounds both.
  frame.parentElement?.setAttribute("data-fits", String(fits));
}
