import { pageOf } from "../page/page-of.js";

/**
 * Timers that are started from now on belong to the current job, and what is done with them is noted in it.
 *
 * @param {import("./jobs.js").Jobs} jobs
 * @param {import("../timer/timers.js").Timers} timers
 * @param {(number: string) => string} nameOf a job in words
 */
export function noteTimers(jobs, timers, nameOf) {
  const belong = () => timers.belongTo(jobs.standing ? { key: jobs.current ?? "", name: nameOf(jobs.standing.details.number) } : { key: "", name: "" });
  jobs.addEventListener("change", belong);
  void jobs.ready.then(belong);
  timers.addEventListener("press", (event) => {
    const { press, timer } = /** @type {CustomEvent} */ (event).detail;
    if (jobs.current && timer.key.endsWith(`@${jobs.current}`)) {
      void jobs.note("waits", { page: pageOf({ href: timer.page }), title: timer.title.slice(0, 120), press });
    }
  });
}
