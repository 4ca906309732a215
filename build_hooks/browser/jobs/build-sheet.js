import { afterPress } from "../page/after-press.js";
import { button, make } from "../page/make.js";
import { linkTo } from "../page/page-of.js";
import { correctForm, entryWords } from "./correct-form.js";
import { openThings } from "./jobs.js";
import { TEXTS } from "./jobs-texts.js";
import { dayOf, momentOf, spanOf } from "./moments.js";
import { wordsOf } from "./noted.js";
import { squareCode } from "./square-code.js";
import { fittedParts, measuredRows } from "./sheet-rows.js";
import { isOutdated, lastAnswers, progressOf, standingOf, unanswered } from "./standing.js";
import { isIn } from "./verdicts.js";

/** @typedef {import("./standing.js").Standing} Standing */

/**
 * One sheet that proves the work of a job, and the tag for parts that wait. All of it is as it was noted: nothing is judged anew, so that
 * an old job is seen as it was.
 */
export class BenchBuildSheet extends HTMLElement {
  /** @type {import("./jobs.js").Jobs} */
  static jobs;

  /** @type {string | null} the job that is asked about before it is closed */
  #closing = null;

  connectedCallback() {
    const { jobs } = BenchBuildSheet;
    for (const name of ["change", "list"]) jobs.addEventListener(name, () => void this.#show());
    window.addEventListener("hashchange", () => void this.#show());
    void jobs.ready.then(() => this.#show());
  }

  async #show() {
    const { jobs } = BenchBuildSheet;
    const asked = /^#job=([0-9a-f]{16})$/.exec(location.hash)?.[1] ?? jobs.current;
    const entries = asked ? await jobs.entriesOf(asked) : [];
    if (!asked || entries.length === 0) return this.replaceChildren(make("p", {}, TEXTS.noJob));
    const standing = asked === jobs.current && jobs.standing ? jobs.standing : standingOf(entries);
    afterPress(() => this.#draw(asked, entries, standing));
  }

  /**
   * @param {string} asked
   * @param {import("../records/job-entries.js").Listed[]} entries
   * @param {Standing} standing
   */
  #draw(asked, entries, standing) {
    const { jobs } = BenchBuildSheet;
    const { activeElement } = document;
    if (this.contains(activeElement) && (activeElement instanceof HTMLInputElement || activeElement instanceof HTMLSelectElement)) return;
    const isMine = asked === jobs.current && standing.state === "open";
    this.replaceChildren(...this.#work(isMine, asked, standing), ...(isMine ? [correctForm(jobs, entries, standing)] : []), this.#sheet(standing, isMine), ...picturesOf(standing), this.#tag(standing));
  }

  /**
   * @param {boolean} isMine whether this page works on the job, and it is open
   * @param {string} asked
   * @param {Standing} standing
   */
  #work(isMine, asked, standing) {
    const { jobs } = BenchBuildSheet;
    const print = (/** @type {string} */ what) => {
      document.documentElement.dataset.print = what;
      window.print();
    };
    const note = make("input", { type: "text", id: "bench-note", maxlength: 1000, autocomplete: "off" });
    const add = (/** @type {Event} */ event) => {
      event.preventDefault();
      const text = note.value.trim();
      note.value = "";
      note.blur();
      if (text) void jobs.note("notes", { text, about: "" });
    };
    const question = make("div", { class: "bench-close-question" }, ...(this.#closing === asked ? this.#openQuestion(standing) : []));
    // What was asked about another job, or about things that are done since, is asked no more.
    if (!question.hasChildNodes()) this.#closing = null;
    const close = () => {
      const asking = this.#openQuestion(standing);
      if (asking.length === 0) return void jobs.setState("closed");
      this.#closing = asked;
      question.replaceChildren(...asking);
      question.querySelector("button")?.focus();
    };
    return [
      make(
        "p",
        { class: "bench-job-buttons" },
        button(TEXTS.print, () => print("sheet"), { "data-bench": "print-sheet" }),
        standing.pictures.length > 0 ? button(TEXTS.printPictures, () => print("pictures"), { "data-bench": "print-pictures" }) : null,
        button(TEXTS.printTag, () => print("tag"), { "data-bench": "print-tag" }),
        asked !== jobs.current ? button(TEXTS.work, () => void jobs.choose(asked), { "data-bench": "work-on" }) : null,
        isMine ? button(TEXTS.close, close, { "data-bench": "close-job" }) : null,
        asked === jobs.current && standing.state === "closed" ? button(TEXTS.reopen, () => void jobs.setState("open"), { "data-bench": "reopen-job" }) : null,
        asked === jobs.current ? button(TEXTS.leave, () => void jobs.choose(null), { "data-bench": "leave-job" }) : null,
      ),
      isMine ? question : null,
      isMine
        ? make("form", { class: "bench-note-form", onsubmit: add }, make("label", { for: "bench-note" }, TEXTS.noteLabel), note, make("button", { type: "submit", "data-bench": "add-note" }, TEXTS.addNote))
        : null,
    ].filter((one) => one !== null);
  }

  /**
   * What is still open is read before the job is closed, not on the comeback. Where nothing is open any more, nothing is asked.
   *
   * @param {Standing} standing
   */
  #openQuestion(standing) {
    const open = openThings(standing);
    const done = () => {
      this.#closing = null;
      void this.#show();
    };
    const close = () => {
      this.#closing = null;
      void BenchBuildSheet.jobs.setState("closed");
    };
    if (open.length === 0) return [];
    return [
      make(
        "section",
        { "data-bench": "close-question", "aria-label": TEXTS.openThings },
        make("p", {}, make("strong", {}, TEXTS.closeOpen(open.length))),
        make("ul", {}, ...open.map((words) => make("li", {}, words))),
        make("p", { class: "bench-job-buttons" }, button(TEXTS.stayOpen, done), button(TEXTS.closeAnyway, close, { "data-bench": "close-anyway" })),
      ),
    ];
  }

  /**
   * @param {Standing} standing
   * @param {boolean} isMine
   */
  #sheet(standing, isMine) {
    const { details } = standing;
    const facts = [
      [TEXTS.labels.unit, details.unit], [TEXTS.labels.serial, details.serial], [TEXTS.complaint, details.complaint],
      [TEXTS.labels.technician, details.technician],
      [TEXTS.opened("").trim(), dayOf(standing.opened)], [TEXTS.closedFact, standing.state === "closed" ? dayOf(standing.closed) : ""],
    ].filter(([, value]) => value); // prettier-ignore
    return make(
      "section",
      { class: "bench-build-sheet", "data-bench": "sheet" },
      make(
        "header",
        {},
        make("p", { class: "bench-sheet-shop" }, BenchBuildSheet.jobs.manual),
        make("h2", {}, `${TEXTS.sheetTitle} ${details.number}`),
        squareCode(details.number || "-", TEXTS.codeOf(details.number)),
      ),
      make("dl", { class: "bench-sheet-facts" }, ...facts.map(([name = "", value = ""]) => make("div", {}, make("dt", {}, name), make("dd", {}, value)))),
      ...measuredTable(standing, isMine),
      ...otherAnswers(standing),
      make("h3", {}, TEXTS.parts),
      partsTable(standing),
      ...holdsTable(standing),
      ...takenList(standing),
      ...skippedList(standing),
      ...waitsList(standing),
      ...notesList(standing),
      ...correctedList(standing),
      make("p", { class: "bench-sheet-edition" }, TEXTS.editions(editionsOf(standing), enginesOf(standing))),
      make("p", { class: "bench-signatures" }, ...TEXTS.signatures.map((words) => make("span", {}, words))),
    );
  }

  /** @param {Standing} standing */
  #tag(standing) {
    const open = openThings(standing);
    return make(
      "section",
      { class: "bench-tag", "data-bench": "tag" },
      make("h2", {}, TEXTS.tag(standing.details.number)),
      squareCode(standing.details.number || "-", TEXTS.codeOf(standing.details.number)),
      make("p", {}, [standing.details.unit, standing.details.serial, standing.people.join(", ")].filter(Boolean).join(" · ")),
      make("h3", {}, TEXTS.openThings),
      open.length ? make("ul", {}, ...open.map((words) => make("li", {}, words))) : make("p", {}, TEXTS.nothingOpen),
    );
  }
}

/**
 * @param {Standing} standing
 * @param {boolean} isMine
 */
function measuredTable(standing, isMine) {
  const answers = lastAnswers(standing).filter((answer) => measuredRows(answer).length > 0);
  if (answers.length === 0) return [];
  const rows = answers.flatMap((answer) => {
    const accepted = standing.accepted[answer.id];
    const isOld = isOutdated(standing, answer);
    const lines = measuredRows(answer).map((row) =>
      make(
        "tr",
        { "data-out": String(row.mark !== "" || isOld) },
        make("th", { scope: "row" }, row.what),
        make("td", { "data-label": TEXTS.columns[1] }, row.readings),
        make("td", { "data-label": TEXTS.columns[2] }, row.clearance),
        make("td", { "data-label": TEXTS.columns[3] }, row.limits),
        make("td", { "data-label": TEXTS.columns[4] }, row.mark ? make("strong", { class: "bench-sheet-out" }, TEXTS.marks[row.mark]) : null, " ", row.verdict),
      ),
    );
    const fitted = fittedParts(answer);
    const more = [
      fitted.length ? `${TEXTS.fitted}: ${fitted.join("; ")}` : "",
      [answer.person, momentOf(answer.at)].filter(Boolean).join(", "),
    ].filter(Boolean).join(" · "); // prettier-ignore
    lines.push(make("tr", { class: "bench-sheet-more" }, make("td", { colspan: TEXTS.columns.length }, more)));
    if (isOld) lines.push(make("tr", { class: "bench-sheet-outdated" }, make("td", { colspan: TEXTS.columns.length }, make("strong", {}, TEXTS.outdated))));
    const words = accepted ? make("strong", {}, TEXTS.acceptedBy(accepted.person, accepted.reason)) : isMine && !isIn(answer) ? acceptForm(answer) : null;
    if (words) lines.push(make("tr", { class: "bench-sheet-accepted" }, make("td", { colspan: TEXTS.columns.length }, words)));
    return lines;
  });
  return [
    make("h3", {}, TEXTS.clearances),
    make(
      "table",
      { class: "bench-table" },
      make("thead", {}, make("tr", {}, ...TEXTS.columns.map((head) => make("th", { scope: "col" }, head)))),
      make("tbody", {}, ...rows),
    ),
  ];
}

/** @param {import("../records/job-entries.js").Entry} answer */
function acceptForm(answer) {
  const { jobs } = BenchBuildSheet;
  const id = `bench-accept-${answer.id.replace("/", "-")}`;
  const reason = make("input", { type: "text", id, maxlength: 500, autocomplete: "off" });
  const fault = make("span", { role: "alert", class: "bench-job-fault" });
  const accept = (/** @type {Event} */ event) => {
    event.preventDefault();
    fault.textContent = !jobs.worker ? TEXTS.workerMissing : !reason.value.trim() ? TEXTS.reasonMissing : "";
    if (fault.textContent) return;
    reason.blur();
    void jobs.note("accepted", { form: answer.form, answer: answer.id, reason: reason.value.trim() });
  };
  return make(
    "form",
    { class: "bench-accept", onsubmit: accept },
    make("label", { for: id }, TEXTS.acceptReason),
    reason,
    make("button", { type: "submit", "data-bench": "accept" }, TEXTS.accept),
    fault,
  );
}

/** @param {Standing} standing */
function otherAnswers(standing) {
  const answers = lastAnswers(standing).filter((answer) => measuredRows(answer).length === 0);
  if (answers.length === 0) return [];
  return [
    make("h3", {}, TEXTS.other),
    make(
      "ul",
      { class: "bench-sheet-other" },
      ...answers.map((answer) => make("li", {}, make("strong", {}, answer.title), ": ", (wordsOf(answer.shown.advice) || Object.entries(answer.shown).map(([name, value]) => `${name} ${wordsOf(value)}`).join(", ")).slice(0, 300), " ", make("span", { class: "bench-sheet-source" }, [answer.person, momentOf(answer.at)].filter(Boolean).join(", ")))),
    ),
  ];
}

/** @param {Standing} standing */
function partsTable(standing) {
  const parts = Object.values(standing.parts);
  if (parts.length === 0) return make("p", {}, TEXTS.noParts);
  return make("p", { class: "bench-sheet-parts" }, parts.map(({ part, number, count }) => `${count > 1 ? `${count} × ` : ""}${part}${number ? ` (${number})` : ""}`).join("; "));
}

/** @param {Standing} standing */
function holdsTable(standing) {
  const pages = Object.values(standing.pages);
  if (pages.length === 0) return [];
  const lines = pages.map((page) => {
    const { title, ticks, last } = page;
    const { done, total, next } = progressOf(page);
    const ticked = Object.values(ticks);
    const people = Array.from(new Set(ticked.map(({ person }) => person).filter(Boolean))).join(", ");
    const first = ticked[0];
    return make(
      "li",
      { "data-open": String(done < total) },
      make("strong", {}, title),
      `: ${done} of ${total} ticked`,
      first ? ` · ${[people, spanOf(first.at, last.at)].filter(Boolean).join(", ")}` : "",
      ...(done < total ? [" · ", make("span", { class: "bench-sheet-out" }, `${TEXTS.stopped} ${next || TEXTS.seePage}`)] : []),
    );
  });
  return [make("h3", {}, TEXTS.holds), make("ul", { class: "bench-sheet-holds" }, ...lines)];
}

/** @param {Standing} standing */
function picturesOf(standing) {
  if (standing.pictures.length === 0) return [];
  const pictures = standing.pictures.map(({ data, about, person, at, width, height }) =>
    make(
      "figure",
      {},
      make("img", { src: data, width, height, alt: about, loading: "lazy" }),
      make("figcaption", {}, [about, person, momentOf(at)].filter(Boolean).join(", ")),
    ),
  );
  return [make("section", { class: "bench-pictures", "data-bench": "pictures" }, make("h2", {}, TEXTS.pictures), ...pictures)];
}

/** @param {Standing} standing */
function takenList(standing) {
  const items = Object.values(standing.steps).map(({ last, done }) => {
    const steps = Object.values(done);
    const people = Array.from(new Set(steps.map(({ person }) => person)), (one) => `${one || "–"} ${spans(steps.filter(({ person }) => person === one))}`);
    return make("li", {}, make("strong", {}, last.title), `: ${TEXTS.takenOf(steps.length, last.total)}`, people.length ? ` · ${people.join(", ")}` : "");
  });
  return items.length ? [make("h3", {}, TEXTS.taken), make("ul", { class: "bench-sheet-steps" }, ...items)] : [];
}

/**
 * Which steps, as short as they can be named.
 *
 * @param {import("../records/job-entries.js").Entry[]} steps
 */
function spans(steps) {
  /** @type {[number, number][]} */
  const found = [];
  for (const number of steps.map((step) => step.number).sort((one, other) => one - other)) {
    const last = found.at(-1);
    if (last && number <= last[1] + 1) last[1] = number;
    else found.push([number, number]);
  }
  return found.map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`)).join(", ");
}

/** @param {Standing} standing */
function skippedList(standing) {
  const skipped = Object.values(standing.steps).flatMap((page) => Object.values(page.skipped));
  if (skipped.length === 0) return [];
  const items = skipped.map(({ title, number, step, reason, person }) => make("li", {}, `${title}, step ${number}: ${step.slice(0, 120)} `, make("strong", {}, `${reason} (${person || "–"})`)));
  return [make("h3", {}, TEXTS.skipped), make("ul", {}, ...items)];
}

/** @param {Standing} standing */
function waitsList(standing) {
  const shown = standing.waits.filter(({ press }) => press === "started" || press === "confirmed");
  if (shown.length === 0) return [];
  const words = shown.map(({ title, press, person, at }) => `${title} ${TEXTS.presses[press]} ${momentOf(at)}${person ? ` (${person})` : ""}`);
  return [make("h3", {}, TEXTS.waits), make("p", {}, words.join("; "))];
}

/** @param {Standing} standing */
function notesList(standing) {
  if (standing.notes.length === 0) return [];
  const items = standing.notes.map(({ text, person, at }) => make("li", {}, `${text} `, make("span", { class: "bench-sheet-source" }, [person, momentOf(at)].filter(Boolean).join(", "))));
  return [make("h3", {}, TEXTS.notes), make("ul", {}, ...items)];
}

/** @param {Standing} standing */
function correctedList(standing) {
  if (standing.corrected.length === 0) return [];
  const items = standing.corrected.map(({ entry, correction }) => {
    const { what, was, right, reason, person, at } = correction;
    const put = right === undefined ? [make("del", {}, entryWords(entry))] : [`${what}: `, make("del", {}, was || "–"), ` ${right || "–"}`];
    return make("li", {}, ...put, ` · ${reason} `, make("span", { class: "bench-sheet-source" }, [person, momentOf(at)].filter(Boolean).join(", ")));
  });
  return [make("h3", {}, TEXTS.corrected), make("ul", { class: "bench-sheet-corrected" }, ...items), ...formsToOpen(standing)];
}

/** @param {Standing} standing */
function formsToOpen(standing) {
  const pages = unanswered(standing);
  if (pages.size === 0) return [];
  const root = document.querySelector("bench-job-bar")?.getAttribute("data-manual-root") ?? "";
  const links = Array.from(pages, ([page, title]) => make("a", { href: linkTo(`${root}${page}`), "data-bench": "open-form" }, title));
  return [make("p", { class: "bench-sheet-outdated" }, make("strong", {}, TEXTS.correctedReading), ...links.flatMap((link) => [" ", link]))];
}

/** @param {Standing} standing */
function editionsOf(standing) {
  const noted = new Set(standing.answers.map(({ edition }) => edition).filter(Boolean));
  return Array.from(noted.size > 0 ? noted : [BenchBuildSheet.jobs.edition], dayOf).join(", ");
}

/** @param {Standing} standing */
function enginesOf(standing) {
  return Array.from(new Set(standing.answers.map(({ engine }) => `engine ${engine}`))).join(", ");
}
