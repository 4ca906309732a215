// The wall view. The pages work without it; this shows one part at a time and takes keys, remote and touch.

import { keepAwake } from "./awake.js";
import { listen } from "./keys.js";
import { NOT_BEGUN, recall, remember } from "./memory.js";
import { runMenu } from "./menu.js";
import { layOut, show } from "./steps.js";
import { showJob } from "./jobs.js";
import { showTimers } from "./timers.js";

const root = document.documentElement;
const wall = /** @type {HTMLElement} */ (document.querySelector("[data-bench=wall]"));

const script = document.currentScript;

chooseScreen();
runClock();
keepAwake(document.querySelector("[data-bench=wall-awake]"));
if (wall.classList.contains("wall-stack")) runStack();
else runMenu(up);
const assets = script instanceof HTMLScriptElement ? script.src : document.baseURI;
showTimers(assets);
showJob(assets);

/** The screen this wall is: named once in the address (?screen=bay-2), then remembered. */
function chooseScreen() {
  const known = (wall.dataset.screens ?? "").split(" ");
  const asked = new URLSearchParams(location.search).get("screen");
  try {
    if (asked) localStorage.setItem("benchleaf-wall-screen", asked);
    const name = asked ?? localStorage.getItem("benchleaf-wall-screen");
    if (name && known.includes(name)) root.dataset.screen = name;
  } catch {
    if (asked && known.includes(asked)) root.dataset.screen = asked;
  }
}

function runClock() {
  const clock = document.querySelector("[data-bench=wall-clock]");
  const tell = () => {
    if (clock) clock.textContent = new Date().toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
  };
  tell();
  window.setInterval(tell, 5000);
}

/**
 * Back: one menu up, which finds there what was left. The first menu has none above it, so that Back never leaves the wall.
 * @param {string} [left] what was chosen here, behind the name that the link carries
 */
function up(left) {
  const link = /** @type {HTMLAnchorElement | null} */ (document.querySelector(".wall-up"));
  if (link) location.href = left ? `${link.href}/${left}` : link.href;
}

function runStack() {
  root.classList.add("wall-live");
  const steps = /** @type {HTMLElement[]} */ ([...document.querySelectorAll(".wall-step")]);
  const drawing = document.querySelector(".wall-drawing svg");
  const path = location.pathname.split("/").filter((part) => part && part !== "index.html").slice(-2).join("/");
  let screens = layOut(steps, wall);
  let at = 0;

  const go = (/** @type {number} */ to) => {
    at = Math.min(Math.max(to, 0), screens.length - 1);
    const screen = screens[at];
    if (!screen) return;
    show(screen, steps, drawing, wall);
    const step = screen.step.dataset.step ?? "end";
    const said = screen.step.querySelector(".wall-count")?.textContent ?? "";
    remember({ path, title: wall.dataset.title ?? "", step: screen.step === steps[0] ? NOT_BEGUN : step, said });
    history.replaceState(null, "", `#${step}`);
    const later = screens.slice(at + 1).find((other) => other.step === screen.step);
    screen.step.dataset.more = later === undefined ? "none" : later.isAside ? "below" : "next";
  };
  const goToStep = (/** @type {string} */ step) => {
    const found = screens.findIndex((screen) => (screen.step.dataset.step ?? "end") === step);
    if (found >= 0) go(found);
    return found >= 0;
  };
  // Right and left go from part to part; down and up look in on what had no room beside a part.
  const isMain = (/** @type {import("./steps.js").Screen} */ screen) => !screen.isAside;
  const next = () => {
    const found = screens.findIndex((screen, index) => index > at && isMain(screen));
    if (found >= 0) go(found);
  };
  const back = () => go(screens.findLastIndex((screen, index) => index < at && isMain(screen)));
  const below = () => go(at + 1);
  const above = () => (screens[at]?.isAside ? go(at - 1) : back());

  for (const [name, action] of /** @type {[string, () => void][]} */ ([["wall-next", next], ["wall-back", back]])) {
    const button = /** @type {HTMLButtonElement | null} */ (document.querySelector(`[data-bench=${name}]`));
    if (!button) continue;
    button.hidden = false;
    button.addEventListener("click", action);
  }
  wall.addEventListener("click", (event) => {
    if (event.target instanceof Element && event.target.closest("[data-more=below] .wall-count")) below();
    else if (event.clientX < window.innerWidth * 0.4) back();
    else next();
  });
  window.addEventListener("resize", () => {
    const here = screens[at]?.step.dataset.step ?? "end";
    screens = layOut(steps, wall);
    goToStep(here);
  });
  listen({
    move: (where) => ({ left: back, back, above, right: next, next, below })[where](),
    up: () => up(),
    choose: (event) => { if (!(event.target instanceof HTMLButtonElement || event.target instanceof HTMLAnchorElement)) next(); },
    number: (digits, isWhole) => isWhole || goToStep(digits),
  });

  const kept = recall();
  const isBegun = kept?.path === path && kept.step !== "end";
  const start = location.hash.slice(1) || (isBegun ? kept.step : "");
  document.fonts.ready.then(() => {
    // Only now are the letters as wide as they will be.
    screens = layOut(steps, wall);
    if (!goToStep(start)) go(0);
    root.dataset.wall = "ready";
  });
}
