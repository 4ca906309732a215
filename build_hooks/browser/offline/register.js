/** Run by every page of the served manual: has the browser store it, and announces a new edition. */

import { Store } from "../page/store.js";
import { StoredEditions } from "./stored-editions.js";
import { isOurs } from "./messages.js";
import { markLoading } from "./loading-pages.js";
import { sayAtFoot, sayNewEdition } from "./notice.js";
import { quiet } from "./quiet.js";
import { TEXTS } from "./offline-texts.js";

/** A page that stays open, as on the wall, asks this often. */
const ASK_AGAIN_MS = 30 * 60_000;
/** A browser that had no room for it is not made to fetch it again with every page. */
const TRY_AGAIN_MS = 60 * 60_000;

const script = document.currentScript;
const root = new URL("../../", script instanceof HTMLScriptElement ? script.src : document.baseURI);
const kept = new StoredEditions(root.href);
const store = new Store(() => localStorage, kept.prefix);
const { serviceWorker } = navigator;

if (!window.isSecureContext) withStyles(() => sayAtFoot(TEXTS.withoutHttps));
else if (!serviceWorker) withStyles(() => sayAtFoot(TEXTS.withoutWorker));
else keep(serviceWorker).catch((/** @type {unknown} */ fault) => notKept(fault instanceof Error ? fault.message : String(fault)));

/** @param {ServiceWorkerContainer} container */
async function keep(container) {
  /** Whether a stored edition serves this page. */
  let isKept = container.controller !== null;
  let asked = false;
  const settled = quiet();
  markLoading(kept.prefix, settled);
  container.addEventListener("message", ({ data }) => {
    if (!isOurs(data) || data.benchleaf !== "not-kept") return;
    notKept(data.why);
    if (data.full && !isKept) store.set("no-room", Date.now());
    if (data.full && isKept) withStyles(() => sayNewEdition(() => void startAfresh(container), TEXTS.noRoom));
  });
  container.addEventListener("controllerchange", () => {
    if (asked) location.reload();
    // Another page of this browser has loaded it; this one stays as it is until its reader wants it.
    else if (isKept) withStyles(() => sayNewEdition(() => location.reload()));
    isKept = true;
  });
  if (isKept) container.controller?.postMessage({ benchleaf: "tidy" });
  else if (Date.now() - Number(store.get("no-room")) < TRY_AGAIN_MS) return notKept(TEXTS.lately);
  else await settled;
  const registration = await container.register(new URL("service-worker.js", root), { scope: root.pathname, updateViaCache: "none" });
  const load = () => {
    asked = true;
    registration.waiting?.postMessage({ benchleaf: "load-edition" });
  };
  whenWaiting(registration, () => withStyles(() => sayNewEdition(load)));
  setInterval(() => registration.update().catch(() => {}), ASK_AGAIN_MS); // Without the network there is nothing to be had.
}

/**
 * @param {ServiceWorkerRegistration} registration
 * @param {() => void} then is called when a whole new edition waits beside the one that serves
 */
function whenWaiting(registration, then) {
  const look = () => {
    if (registration.waiting && registration.active) then();
  };
  look();
  const follow = () => registration.installing?.addEventListener("statechange", look);
  follow();
  registration.addEventListener("updatefound", follow);
}

/**
 * Deletes the stored edition to make room for the new one.
 *
 * @param {ServiceWorkerContainer} container
 */
async function startAfresh(container) {
  await (await container.getRegistration(root))?.unregister();
  await kept.removeAll();
  location.reload();
}

/** @param {string} why */
function notKept(why) {
  console.warn(TEXTS.notKept(why));
}

/** @param {() => void} then is called with the styles there, which no page needs before */
function withStyles(then) {
  const address = new URL("assets/benchleaf/offline.css", root).href;
  if (document.querySelector(`link[href="${address}"]`)) return then();
  const link = document.createElement("link");
  link.rel = "stylesheet";
  link.href = address;
  link.onload = link.onerror = then;
  document.head.append(link);
}
