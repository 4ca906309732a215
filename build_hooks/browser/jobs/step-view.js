import { afterPress } from "../page/after-press.js";
import { button, make } from "../page/make.js";
import { pageOf, titleOfPage } from "../page/page-of.js";
import { TEXTS } from "./jobs-texts.js";
import { cardsOf } from "./step-cards.js";

// Keys of a remote: its Back goes up one level, as on the shop screen.
const UP = new Set(["Escape", "Backspace", "GoBack", "BrowserBack"]);
const NEAR = 0.8; // Share of what is in sight that one press scrolls.

/** @typedef {import("./step-cards.js").Card} Card */

/** A procedure step by step: the caution, the step, its hold, then the next. It shows the page's own elements and puts them back. */
export class StepView {
  /** @type {Card[]} */
  #cards;
  #at = 0;
  /** @type {Map<Element, Comment>} where each element that is shown belongs */
  #places = new Map();
  #showsForm = false;
  #drawnClosed = false;

  /**
   * @param {import("./jobs.js").Jobs} jobs
   * @param {Element} article
   * @param {string} title of the page
   */
  constructor(jobs, article, title) {
    this.jobs = jobs;
    this.title = title;
    this.page = pageOf(location);
    this.#cards = cardsOf(article);
    this.forms = Array.from(article.querySelectorAll("bench-calc"));
    this.position = make("p", { role: "status", "data-bench": "step-position" });
    this.job = make("p", { "data-bench": "step-job" });
    this.body = make("div", { class: "bench-step-body md-typeset", tabindex: -1 });
    this.foot = make("div", { class: "bench-step-foot" });
    this.dialog = make(
      "dialog",
      { class: "bench-step-view", "aria-label": title, "data-bench": "steps", onkeydown: (/** @type {KeyboardEvent} */ event) => this.#key(event), oncancel: (/** @type {Event} */ event) => (event.preventDefault(), this.#up()), onclose: () => this.#putBack() },
      make("div", { class: "bench-step-head" }, this.position, this.job), this.body, this.foot,
    ); // prettier-ignore
    article.append(this.dialog);
    // A tick opens the way on. What is typed changes nothing here: a foot drawn anew would take the reason away before it is sent.
    this.body.addEventListener("change", () => this.#drawFoot());
    jobs.addEventListener("change", () => this.#jobChanged());
  }

  get isWorthwhile() {
    return this.#cards.filter(({ number }) => number !== null).length >= 3;
  }

  get total() {
    return this.#cards.length;
  }

  get #last() {
    const coming = this.jobs.underWay("steps").filter(({ page }) => page === this.page);
    return coming.at(-1) ?? this.jobs.standing?.steps[this.page]?.last;
  }

  get isDone() {
    const last = this.#last;
    return last !== undefined && this.#placeOf(last) === this.total - 1;
  }

  /** A closed job can be read, not changed: its steps are turned over like pages. */
  get isClosed() {
    return this.jobs.standing?.state === "closed";
  }

  /** Where the current job goes on: behind the step that was taken last, and from the beginning when all are done, or the job is. */
  get resumesAt() {
    const last = this.#last;
    return last && !this.isDone && !this.isClosed ? Math.min(this.#placeOf(last) + 1, this.total - 1) : 0;
  }

  /**
   * Two steps may have the same words; in another edition of the page a step may have another number.
   *
   * @param {Record<string, any>} taken
   */
  #placeOf({ step, number }) {
    if (this.#cards[number - 1]?.words === step) return number - 1;
    const same = this.#cards.findIndex(({ words }) => words === step);
    return same >= 0 ? same : Math.min(number, this.total) - 1;
  }

  open() {
    this.#at = this.resumesAt;
    this.dialog.showModal();
    this.#show();
  }

  #show() {
    this.#putBack();
    const card = this.#cards[this.#at];
    if (!card) return;
    this.#showsForm = false;
    this.position.replaceChildren(make("strong", {}, TEXTS.position(this.#at + 1, this.total)), ` · ${card.section || this.title}`);
    this.#nameJob();
    const step = card.number === null ? make("div", {}) : make("ol", { start: card.number });
    this.body.replaceChildren();
    for (const node of card.cautions) this.#take(node, this.body);
    for (const node of card.before) this.#take(node, this.body);
    this.body.append(step);
    for (const node of card.nodes) this.#take(node, step);
    for (const node of card.after) this.#take(node, this.body);
    this.body.scrollTop = 0;
    this.#drawFoot();
    this.#focus();
  }

  /** It may have been closed or opened again on another tablet. */
  #jobChanged() {
    this.#nameJob();
    if (this.dialog.open && this.isClosed !== this.#drawnClosed) afterPress(() => this.#drawFoot());
  }

  /** Whose steps these are, and under whose name they are noted. */
  #nameJob() {
    const { standing, worker } = this.jobs;
    this.job.textContent = standing
      ? [TEXTS.job(standing.details.number), this.isClosed ? TEXTS.closed : worker || TEXTS.nobodyNamed].join(" · ")
      : TEXTS.stepsNotNoted;
  }

  /** The way on has the focus, so that Enter of a remote goes on; at a hold point its box has. */
  #focus() {
    const hold = this.#openHold();
    const next = this.foot.querySelector("[data-bench=next-step]");
    const target = hold ?? (next instanceof HTMLElement ? next : null);
    target?.focus({ preventScroll: true });
  }

  #drawFoot() {
    const card = this.#cards[this.#at];
    if (!card || this.#showsForm) return;
    const hold = this.#openHold();
    const isLast = this.#at === this.total - 1;
    const { isClosed } = this;
    this.#drawnClosed = isClosed;
    const words = card.number === null || isClosed ? TEXTS.nextRead : isLast ? TEXTS.lastStep : TEXTS.nextStep;
    this.foot.replaceChildren(
      button(TEXTS.previousStep, () => this.#back(), { "data-bench": "previous-step", disabled: this.#at === 0 }),
      button(words, () => this.#next(), { "data-bench": "next-step", "aria-disabled": String(hold !== null), disabled: isClosed && isLast }),
      ...(isClosed ? [] : [button(TEXTS.skip, () => this.#askReason(), { "data-bench": "skip-step" })]),
      ...(this.forms.length > 0 && !card.nodes.some((node) => node.matches("bench-calc")) ? [button(TEXTS.form, () => this.#showForm(), { "data-bench": "show-form" })] : []),
      button(TEXTS.leaveSteps, () => this.dialog.close(), { "data-bench": "leave-steps" }),
      make("p", { class: "bench-step-said", role: "status", "data-bench": "step-said" }),
    );
  }

  #back() {
    if (this.#at === 0) return;
    this.#at -= 1;
    this.#show();
  }

  /** It goes on at once: a second press while the first is being written would else pass over a step, and its hold. */
  #next() {
    if (this.#openHold()) {
      this.#say(TEXTS.tickFirst);
      return this.#focus();
    }
    this.#note("done", "");
    this.#goOn();
  }

  #goOn() {
    if (this.#at < this.total - 1) {
      this.#at += 1;
      return this.#show();
    }
    if (this.isClosed) return;
    this.#drawFoot(); // The reason of a last step that was left out has been noted.
    this.#say(TEXTS.allDone(this.#leftOut));
    const leave = this.foot.querySelector("[data-bench=leave-steps]");
    if (leave instanceof HTMLElement) leave.focus({ preventScroll: true });
  }

  /** How many steps of this page are left out, those counted that are still being written. */
  get #leftOut() {
    const left = new Set(Object.values(this.jobs.standing?.steps[this.page]?.skipped ?? {}).map(({ number }) => number));
    for (const { page, number, state } of this.jobs.underWay("steps")) {
      if (page === this.page && state === "skipped") left.add(number);
      else if (page === this.page) left.delete(number);
    }
    return left.size;
  }

  #askReason() {
    const entry = make("input", { type: "text", id: "bench-skip-reason", maxlength: 300, autocomplete: "off" });
    const fault = make("p", { class: "bench-step-said", role: "alert", "data-bench": "skip-problem" });
    const sure = (/** @type {Event} */ event) => {
      event.preventDefault();
      const reason = entry.value.trim();
      if (!reason) {
        fault.textContent = TEXTS.reasonMissing;
        return entry.focus();
      }
      this.#note("skipped", reason);
      this.#goOn();
    };
    this.foot.replaceChildren(
      make(
        "form",
        { class: "bench-skip", onsubmit: sure },
        make("label", { for: entry.id }, TEXTS.skipReason),
        entry,
        make("button", { type: "submit", "data-bench": "skip-sure" }, TEXTS.skipSure),
        button(TEXTS.backToStep, () => (this.#drawFoot(), this.#focus()), { "data-bench": "back-to-step" }),
        fault,
      ),
    );
    entry.focus();
  }

  #showForm() {
    this.#putBack();
    this.#showsForm = true;
    this.body.replaceChildren();
    for (const form of this.forms) this.#take(form, this.body);
    this.foot.replaceChildren(button(TEXTS.backToStep, () => this.#show(), { "data-bench": "back-to-step" }));
    const first = this.body.querySelector("[data-bench=pack] input[type=text]") ?? this.body.querySelector("input[type=text]");
    if (first instanceof HTMLElement) first.focus();
  }

  /** @param {"done" | "skipped"} state @param {string} reason */
  #note(state, reason) {
    const card = this.#cards[this.#at];
    if (!card || !this.jobs.current || this.isClosed) return;
    void this.jobs.note("steps", {
      page: this.page, title: this.title, section: card.section, step: card.words,
      number: this.#at + 1, total: this.total, state, reason,
    }); // prettier-ignore
  }

  /** @returns {HTMLInputElement | null} the first hold point of this step that is not ticked and can be */
  #openHold() {
    const holds = Array.from(this.body.querySelectorAll("input[data-bench=hold]"));
    return /** @type {HTMLInputElement | undefined} */ (holds.find((hold) => hold instanceof HTMLInputElement && !hold.checked && !hold.disabled)) ?? null;
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const { target, key } = event;
    const isText = target instanceof HTMLInputElement && target.type !== "checkbox";
    if (key === "Enter" && event.repeat) return event.preventDefault(); // A finger that rests on the key does no work.
    if (UP.has(key) && !(isText && key === "Backspace")) return (event.preventDefault(), this.#up());
    if (isText || target instanceof HTMLSelectElement || this.#showsForm) return;
    if (key === "ArrowRight") (event.preventDefault(), !event.repeat && this.#next());
    else if (key === "ArrowLeft") (event.preventDefault(), this.#back());
    else if (key === "ArrowDown") (event.preventDefault(), this.#below());
    else if (key === "ArrowUp") (event.preventDefault(), this.#above());
    // Enter ticks a hold, as a remote has no space bar; ticked, it goes on.
    else if (key === "Enter" && target instanceof HTMLInputElement) (event.preventDefault(), target.checked ? this.#next() : target.click());
  }

  /** From the form or the reason to the step, from the step to the page. */
  #up() {
    const isStep = this.foot.querySelector("[data-bench=next-step]") !== null;
    if (isStep) this.dialog.close();
    else if (this.#showsForm) this.#show();
    else (this.#drawFoot(), this.#focus());
  }

  /** Down: first what is not in sight of the step, then what else can be pressed. */
  #below() {
    const { body } = this;
    if (body.scrollTop + body.clientHeight < body.scrollHeight - 1) return body.scrollBy({ top: body.clientHeight * NEAR });
    this.#beside(1);
  }

  #above() {
    if (!this.#beside(-1)) this.body.scrollBy({ top: -this.body.clientHeight * NEAR });
  }

  /**
   * @param {1 | -1} by
   * @returns {boolean} whether there is something to press on that side
   */
  #beside(by) {
    const all = Array.from(this.dialog.querySelectorAll("input, button, a[href], summary, select")).filter(
      (one) => one.getClientRects().length > 0 && !(/** @type {HTMLButtonElement} */ (one).disabled),
    );
    const next = all[all.findIndex((one) => one === document.activeElement) + by];
    if (next instanceof HTMLElement) next.focus();
    return next !== undefined;
  }

  /** @param {string} words */
  #say(words) {
    const place = this.foot.querySelector("[data-bench=step-said]");
    if (place) place.textContent = words;
  }

  /**
   * @param {Element} node
   * @param {Element} place
   */
  #take(node, place) {
    const mark = document.createComment("");
    node.before(mark);
    this.#places.set(node, mark);
    place.append(node);
  }

  #putBack() {
    for (const [node, mark] of this.#places) mark.replaceWith(node);
    this.#places.clear();
  }
}

/**
 * Offers to work through the page, if it is a procedure.
 *
 * @param {import("./jobs.js").Jobs} jobs
 */
export function offerSteps(jobs) {
  const bar = document.querySelector("bench-job-bar[data-steps]");
  const article = bar?.parentElement;
  if (!bar || !article) return;
  const view = new StepView(jobs, article, titleOfPage());
  if (!view.isWorthwhile) return view.dialog.remove();
  const way = button(TEXTS.workThrough, () => view.open(), { "data-bench": "work-through" });
  const name = () => {
    const at = view.resumesAt;
    way.textContent = view.isClosed ? TEXTS.readThrough : view.isDone ? TEXTS.workAgain : at > 0 ? TEXTS.resumeAt(at + 1, view.total) : TEXTS.workThrough;
  };
  jobs.addEventListener("change", name);
  void jobs.ready.then(name);
  bar.after(make("p", { class: "bench-step-way" }, way));
}
