import { faultOfStoredJob } from "../records/job-file.js";
import { RecordDatabase } from "../records/record-database.js";
import { noteAnswers } from "./answer-notes.js";
import { BenchBuildSheet } from "./build-sheet.js";
import { keepTicks } from "./hold-ticks.js";
import { BenchJobBar } from "./job-bar.js";
import { BenchJobs } from "./job-list.js";
import { JobReadings } from "./job-readings.js";
import { Jobs } from "./jobs.js";
import { TEXTS } from "./jobs-texts.js";
import { offerSteps } from "./step-view.js";
import { noteTimers } from "./timer-notes.js";
import { shareJobs } from "./shared-state.js";

const ELEMENTS = { "bench-job-bar": BenchJobBar, "bench-jobs": BenchJobs, "bench-build-sheet": BenchBuildSheet };

/**
 * The jobs of this bench, and what of the page belongs to the current one.
 *
 * @param {object} given
 * @param {import("../engine/client/engine-client.js").EngineClient} given.engine
 * @param {import("../page/store.js").Store} given.store of the browser
 * @param {import("../page/store.js").Store} given.tab of this tab
 * @param {import("../timer/timers.js").Timers} given.timers
 * @param {string} given.prefix distinguishes this manual from others
 * @returns {JobReadings} where forms keep what is typed
 */
export function defineJobs({ engine, store, tab, timers, prefix }) {
  const bar = document.querySelector("bench-job-bar");
  const facts = bar instanceof HTMLElement ? bar.dataset : {};
  const jobs = new Jobs({
    records: new RecordDatabase(`${prefix}jobs`, faultOfStoredJob),
    store,
    tab,
    edition: facts.edition ?? "",
    manual: facts.manual ?? "",
  });
  BenchJobs.isShared = Boolean(facts.folder) && location.protocol !== "file:";
  for (const element of [BenchJobBar, BenchJobs, BenchBuildSheet]) element.jobs = jobs;
  BenchJobs.engine = engine;
  for (const [name, element] of Object.entries(ELEMENTS)) if (!customElements.get(name)) customElements.define(name, element);
  const readings = new JobReadings(jobs, tab); // Before answers: what was typed is written first when the page is left.
  noteAnswers(jobs);
  keepTicks(jobs);
  offerSteps(jobs);
  noteTimers(jobs, timers, TEXTS.job);
  if (facts.folder) shareJobs({ jobs, store, tab, folder: facts.folder });
  return readings;
}
