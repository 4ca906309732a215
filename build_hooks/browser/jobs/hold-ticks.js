import { pageOf, titleOfPage } from "../page/page-of.js";
import { keyOfPart } from "./standing.js";

const LONGEST = 120; // Characters.

/**
 * Hold points of the page, and the parts of its kits: ticked in the current job, and found ticked when the page is opened again.
 *
 * @param {import("./jobs.js").Jobs} jobs
 */
export function keepTicks(jobs) {
  const holds = boxes("hold");
  const parts = boxes("replaced");
  if (holds.length + parts.length === 0) return;
  const names = namesOf(holds);
  const page = pageOf(location);
  let wasOfJob = false;
  const show = () => {
    const { standing } = jobs;
    const ticks = standing?.pages[page]?.ticks;
    // Without a job ticks belong to this visit of the page; those of a job go with it.
    const isOurs = standing !== null || wasOfJob;
    wasOfJob = standing !== null;
    const comingTicks = new Set(jobs.underWay("ticks").filter((tick) => tick.page === page).map((tick) => tick.hold)); // prettier-ignore
    const comingParts = new Set(jobs.underWay("parts").map((part) => keyOfPart(/** @type {any} */ (part))));
    for (const hold of holds) {
      const name = names.get(hold) ?? "";
      if (isOurs && !comingTicks.has(name)) hold.checked = ticks !== undefined && name in ticks;
      hold.disabled = standing?.state === "closed";
    }
    for (const part of parts) {
      const key = keyOfPart(partOf(part));
      if (isOurs && !comingParts.has(key)) part.checked = standing !== null && key in standing.parts;
      part.disabled = standing?.state === "closed";
    }
  };
  jobs.addEventListener("change", show);
  void jobs.ready.then(show);
  const note = async (/** @type {string} */ list, /** @type {Record<string, unknown>} */ value) => {
    await jobs.note(list, value);
    show(); // Where it was not taken, the box says so.
  };
  document.addEventListener("change", ({ target }) => {
    if (!(target instanceof HTMLInputElement) || !jobs.current) return;
    if (target.dataset.bench === "hold") {
      const next = holds.find((hold) => !hold.checked);
      const done = holds.filter((hold) => hold.checked).length;
      void note("ticks", {
        page, title: titleOfPage(), hold: names.get(target) ?? "", ticked: target.checked, done, total: holds.length, next: names.get(next) ?? "",
      }); // prettier-ignore
    } else if (target.dataset.bench === "replaced") {
      void note("parts", { ...partOf(target), count: target.checked ? Number(target.dataset.count ?? "1") : 0 });
    }
  });
}

/** @param {string} name @returns {HTMLInputElement[]} */
function boxes(name) {
  return Array.from(document.querySelectorAll(`input[data-bench=${name}]`)).filter((box) => box instanceof HTMLInputElement);
}

/**
 * Hold points by their words: their number changes with the page, and the tick belongs to what was checked.
 *
 * @param {HTMLInputElement[]} holds
 * @returns {Map<HTMLInputElement | undefined, string>}
 */
function namesOf(holds) {
  /** @type {Map<string, number>} */
  const times = new Map();
  return new Map(
    holds.map((hold) => {
      const words = (hold.closest("label")?.textContent ?? "").replace(/\s+/g, " ").trim().slice(0, 300);
      const time = (times.get(words) ?? 0) + 1;
      times.set(words, time);
      return [hold, time > 1 ? `${words} (${time})` : words];
    }),
  );
}

/**
 * A part of a kit, by its name and number, as long as an entry takes them.
 *
 * @param {HTMLInputElement} box
 */
function partOf({ dataset }) {
  return { part: (dataset.part ?? "").slice(0, LONGEST), number: (dataset.number ?? "").slice(0, LONGEST) };
}
