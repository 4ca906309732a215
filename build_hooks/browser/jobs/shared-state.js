import { button, make } from "../page/make.js";
import { TEXTS } from "./jobs-texts.js";
import { timeOf } from "./moments.js";
import { SharedFolder } from "./shared-folder.js";

const SAID = TEXTS.shared;

/**
 * Shares jobs in the folder that shop.yml names, and says on each page how that stands; on the page of the jobs, everything there is to it.
 *
 * @param {object} given
 * @param {import("./jobs.js").Jobs} given.jobs
 * @param {import("../page/store.js").Store} given.store of the browser
 * @param {import("../page/store.js").Store} given.tab of this tab
 * @param {string} given.folder its address, as shop.yml has it
 */
export function shareJobs({ jobs, store, tab, folder }) {
  const root = new URL(document.querySelector("[data-manual-root]")?.getAttribute("data-manual-root") ?? "./", document.baseURI);
  const shared = new SharedFolder({ jobs, store, tab, address: new URL(folder, root).href });
  const list = document.querySelector("bench-jobs");
  const place = make("div", { class: "bench-shared", "data-bench": "shared" });
  if (list) list.before(place);
  else document.querySelector("bench-job-bar")?.append(place);
  const line = make("p", { class: "bench-shared-line", role: "status", "data-bench": "shared-said" });
  const ways = make("p", { class: "bench-job-buttons" });
  const more = make("ul", { class: "bench-shared-more", "data-bench": "shared-more" });
  place.append(...(list ? [make("h2", {}, SAID.title), make("p", {}, SAID.about)] : []), line, ways, ...(list ? [more] : []));
  const show = () => {
    place.dataset.state = shared.state;
    place.dataset.waiting = String(shared.count);
    const words = `${SAID.title}: ${wordsOf(shared)}`;
    if (line.textContent !== words) line.textContent = words; // A reader of screens says it once.
    if (shared.state !== ways.dataset.state) ways.replaceChildren(...waysOn(shared, list !== null));
    ways.dataset.state = shared.state;
    if (list) more.replaceChildren(...moreOf(shared));
  };
  shared.addEventListener("change", show);
  show();
  shared.start();
}

/** @param {SharedFolder} shared */
function wordsOf(shared) {
  const { state, status, count } = shared;
  const since = shared.since ? timeOf(shared.since) : "";
  const said = /** @type {string | ((...facts: any[]) => string)} */ (SAID[state]);
  const facts = state === "unreachable" || state === "unanswered" || state === "server" ? [since, status] : [status];
  const words = typeof said === "function" ? said(...facts) : said;
  return [words, count > 0 && state !== "unserved" ? SAID.waiting(count) : ""].filter(Boolean).join(" ");
}

/**
 * @param {SharedFolder} shared
 * @param {boolean} isList
 */
function waysOn(shared, isList) {
  const isWell = shared.state === "current" || shared.state === "behind" || shared.state === "looking";
  if (shared.state === "unserved" || (isWell && !isList)) return [];
  const look = button(SAID.look, () => shared.look(), { "data-bench": "shared-look" });
  if (shared.state !== "password") return [look];
  return [make("a", { href: shared.address, target: "_blank", rel: "noopener" }, SAID.openFolder), look];
}

/** @param {SharedFolder} shared */
function moreOf(shared) {
  const { aside, large, removed } = shared;
  return [
    ...aside.map(({ job, why }) => make("li", {}, SAID.aside(`${job}.json`, why))),
    ...large.map((job) => make("li", {}, SAID.tooLarge(job))),
    ...(removed.length > 0
      ? [make("li", {}, SAID.removed(removed.length), " ", button(SAID.bringBack, () => shared.bringBack(), { "data-bench": "shared-bring-back" }))]
      : []),
  ];
}
