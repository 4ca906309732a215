/**
 * Sent into every page while `benchleaf serve` watches, and in no built site: loads the page anew when the manual was built anew,
 * keeps its place, and shows what is wrong over the last good page.
 */

(() => {
  const ASK_AGAIN_MS = 100;
  const STATE = `/benchleaf-watch/state.json?page=${encodeURIComponent(location.pathname)}`;
  /** A name for what is shown, as it was when the page was sent. */
  const SHOWN = document.currentScript?.dataset.page;
  const PLACE = `benchleaf-watch:${location.pathname}`;

  /** @type {HTMLElement | undefined} */
  let notice;

  const kept = sessionStorage.getItem(PLACE);
  sessionStorage.removeItem(PLACE);
  if (kept !== null) addEventListener("load", () => scrollTo({ top: Number(kept), behavior: "instant" }));

  async function look() {
    try {
      /** @type {{ page: string, problem: string }} */
      const state = await (await fetch(STATE, { cache: "no-store" })).json();
      if (state.page !== SHOWN) {
        sessionStorage.setItem(PLACE, String(scrollY));
        location.reload();
        return;
      }
      say(state.problem);
    } catch {
      say("benchleaf serve does not answer. Start it again.");
    }
    setTimeout(look, ASK_AGAIN_MS);
  }

  /** @param {string} problem */
  function say(problem) {
    if (problem === (notice?.textContent ?? "")) return;
    notice?.remove();
    notice = undefined;
    if (!problem) return;
    notice = document.createElement("pre");
    notice.id = "benchleaf-watch";
    notice.setAttribute("role", "alert");
    notice.style.cssText =
      "position:fixed;inset:auto 0 0 0;z-index:1000;margin:0;padding:1rem;max-height:50vh;overflow:auto;white-space:pre-wrap;" +
      "font:1rem/1.5 monospace;color:#000;background:#ffe1d6;border-top:4px solid #b3261e";
    notice.textContent = problem;
    document.body.append(notice);
  }

  void look();
})();
