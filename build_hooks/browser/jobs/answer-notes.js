import { shownOutputs } from "./shown-outputs.js";
import { isOutdated } from "./standing.js";

const QUIET = 1000; // Milliseconds that an answer must stand before it is noted: figures on the way to it are none.

/**
 * Notes in the current job what was answered, with all that it was worked out from. Whatever stands as the last answer of a form is
 * not noted twice.
 *
 * @param {import("./jobs.js").Jobs} jobs
 */
export function noteAnswers(jobs) {
  /** @type {Map<string, {timer: ReturnType<typeof setTimeout>, write: () => void}>} */
  const waiting = new Map();
  const forget = (/** @type {string} */ form) => {
    clearTimeout(waiting.get(form)?.timer);
    waiting.delete(form);
  };
  document.addEventListener("bench:no-answer", (event) => forget(keyOf(event)));
  document.addEventListener("bench:answer", (event) => {
    const form = keyOf(event);
    forget(form);
    const { reply, request, panel } = /** @type {CustomEvent} */ (event).detail;
    if (!jobs.current || !reply.ok || !panel) return;
    const job = jobs.current;
    const answer = {
      form, .../** @type {any} */ (event.target).about, calculation: reply.calculation, engine: reply.engine,
      request, result: reply.result, shown: shownOutputs(panel), verdict: panel[1]["data-verdict"] ?? "",
      sources: JSON.parse(/** @type {HTMLElement} */ (event.target).dataset.sources ?? "{}"),
    }; // prettier-ignore
    const write = () => {
      waiting.delete(form);
      if (jobs.current === job && !isKnown(jobs, answer)) void jobs.note("answers", answer);
    };
    waiting.set(form, { timer: setTimeout(write, QUIET), write });
  });
  const writeAll = () => {
    for (const { timer, write } of waiting.values()) (clearTimeout(timer), write());
  };
  jobs.addEventListener("leave", writeAll);
}

/** @param {Event} event */
function keyOf({ target }) {
  return String(/** @type {any} */ (target).key ?? "");
}

/**
 * Readings that were answered are not answered again because the page was opened once more: in a later edition its limits may be others,
 * and the job says what held when it was measured.
 *
 * @param {import("./jobs.js").Jobs} jobs
 * @param {{form: string, engine: string, request: object}} answer
 */
function isKnown(jobs, { form, engine, request }) {
  const last = jobs.standing?.answers.filter((one) => one.form === form).at(-1);
  if (last === undefined) return false;
  if (jobs.standing?.typed[form]) return !isOutdated(jobs.standing, last);
  return last.engine === engine && JSON.stringify(last.request) === JSON.stringify(request);
}
