/**
 * Keeps one edition of the manual whole and serves it from the browser's store, network or not. A new edition is
 * fetched beside the old one and waits until the reader asks for it; pages that are open then stay with theirs.
 */

import { NotStored, fetchEdition } from "./fetch-edition.js";
import { StoredEditions } from "./stored-editions.js";
import { isOurs } from "./messages.js";
import { OpenPages } from "./open-pages.js";
import { pathIn } from "./paths.js";

const worker = /** @type {import("./worker-types.js").Worker} */ (/** @type {unknown} */ (self));
const edition = self.benchleafEdition;
const kept = new StoredEditions(worker.registration.scope);
const openPages = new OpenPages(kept, edition.name, () => ours("all"));
/** @type {Promise<boolean> | undefined} the browser may have thrown the store away since */
let whole;

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(activate()));
worker.addEventListener("message", (event) => {
  if (!isOurs(event.data)) return;
  if (event.data.benchleaf === "load-edition") event.waitUntil(worker.skipWaiting());
  if (event.data.benchleaf === "tidy") event.waitUntil(tidy());
});
worker.addEventListener("fetch", (event) => {
  const path = event.request.method === "GET" ? pathIn(kept.root, event.request.url) : null;
  if (path !== null) event.respondWith(answer(event, path));
});

/**
 * What is open of this manual; the host may have others.
 *
 * @param {"all" | "window"} type
 */
async function ours(type) {
  const all = await worker.clients.matchAll({ includeUncontrolled: true, type });
  return all.filter((client) => client.url.startsWith(kept.root));
}

async function install() {
  try {
    await fetchEdition(kept, edition);
  } catch (fault) {
    await kept.remove(edition.name).catch(() => {});
    const why = fault instanceof Error ? fault.message : String(fault);
    const message = { benchleaf: "not-kept", why, full: fault instanceof NotStored && fault.full };
    for (const page of await ours("window")) page.postMessage(message);
    throw fault;
  }
}

async function activate() {
  await openPages.takeOver(!worker.registration.installing);
  await worker.clients.claim();
}

async function tidy() {
  if (await isWhole()) await openPages.tidy();
  else await worker.registration.unregister(); // The next page starts afresh.
}

function isWhole() {
  whole ??= kept.listOf(edition.name).then((list) => list !== null);
  return whole;
}

/**
 * @param {import("./worker-types.js").Fetched} event
 * @param {string} path
 * @returns {Promise<Response>}
 */
async function answer({ request, clientId }, path) {
  if (!(await isWhole())) return fetch(request);
  const isPage = request.mode === "navigate";
  if (isPage && !(path in edition.files) && `${path}/index.html` in edition.files) return Response.redirect(`${request.url}/`);
  for (const name of isPage ? [edition.name] : await openPages.editionsFor(clientId)) {
    const found = await kept.file(name, path);
    if (found) return found;
  }
  try {
    return await fetch(request);
  } catch (fault) {
    const notFound = isPage ? await kept.file(edition.name, "404.html") : undefined;
    if (notFound) return new Response(notFound.body, { status: 404, headers: notFound.headers });
    throw fault;
  }
}
