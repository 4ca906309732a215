const LATEST = 2000; // Milliseconds after which a browser that is never idle is taken at its word.

/**
 * Waits until the page has loaded and its engine is up: storing the manual must not slow either.
 *
 * @returns {Promise<void>}
 */
export async function quiet() {
  if (document.readyState !== "complete") await new Promise((done) => addEventListener("load", done, { once: true }));
  await engineSettled();
  await new Promise((done) => {
    if (window.requestIdleCallback) window.requestIdleCallback(done, { timeout: LATEST });
    else setTimeout(done, LATEST);
  });
}

/** @returns {Promise<void>} */
function engineSettled() {
  const root = document.documentElement;
  const settled = () => root.dataset.engine !== "loading";
  if (settled()) return Promise.resolve();
  return new Promise((done) => {
    const watch = new MutationObserver(() => {
      if (!settled()) return;
      watch.disconnect();
      done();
    });
    watch.observe(root, { attributeFilter: ["data-engine"] });
  });
}
