import { make } from "../page/make.js";
import { makeNode } from "../page/node-maker.js";
import { TEXTS } from "./jobs-texts.js";

const MOST = 100; // Rebuilds that are looked at: the newest.
const NEXT = 10; // Rebuilds that parts are wanted for.

/** @typedef {import("./jobs.js").Summary["measured"]} Rows */
/** @typedef {{choices: {id: string}[]} & Record<string, unknown>} Forecast what the unit data say of a pack */

/** What all jobs came to, pack by pack: the engine draws and counts. */
export class AcrossJobs {
  /** @type {import("./jobs.js").Summary[]} */
  #all = [];
  #asked = 0;

  /** @type {Record<string, Forecast>} by the ids of unit and pack */
  forecasts = {};

  /** @param {import("../engine/client/engine-client.js").EngineClient} engine */
  constructor(engine) {
    this.engine = engine;
    this.choice = make("select", { id: "bench-across", onchange: () => void this.#draw() });
    this.place = make("div", { "data-bench": "across-answer", role: "status" });
    this.element = make(
      "section",
      { class: "bench-across", "data-bench": "across", hidden: true },
      make("h2", {}, TEXTS.across),
      make("p", { class: "bench-job-find" }, make("label", { for: "bench-across" }, TEXTS.acrossWhat), this.choice),
      this.place,
    );
  }

  /** @param {import("./jobs.js").Summary[]} all the newest first */
  show(all) {
    this.#all = all;
    const names = Array.from(new Set(all.flatMap(({ unit, measured }) => (measured ?? []).map(({ what }) => nameOf(unit, what))))).sort();
    this.element.hidden = names.length === 0;
    const chosen = this.choice.value;
    // A list that is open stays so while nothing in it changes.
    if (names.some((name, at) => this.choice.options[at + 1]?.value !== name) || this.choice.length !== names.length + 1) {
      this.choice.replaceChildren(make("option", { value: "" }, "–"), ...names.map((name) => make("option", { value: name, selected: name === chosen }, name)));
    }
    if (chosen) void this.#draw();
  }

  async #draw() {
    const name = this.choice.value;
    const mine = ++this.#asked;
    if (!name) return this.place.replaceChildren();
    const rows = this.#all
      .flatMap(({ unit, measured }) => (measured ?? []).filter(({ what }) => nameOf(unit, what) === name))
      .slice(0, MOST)
      .reverse();
    const forecast = this.forecasts[rows.at(-1)?.pack ?? ""];
    const [calculation, request] = forecast ? ["past-and-forecast", besideForecast(rows, forecast)] : ["past-clearances", alone(rows)];
    this.place.replaceChildren(TEXTS.acrossWaiting);
    const answer = await this.engine.run("across jobs", calculation, JSON.stringify(request)).catch(() => null);
    if (mine !== this.#asked) return;
    const problems = /** @type {{message: string}[]} */ (answer?.reply.problems ?? []).map(({ message }) => message).join(" ");
    this.place.replaceChildren(answer?.panel ? makeNode(answer.panel) : problems || TEXTS.acrossFailed);
  }
}

/** @param {Rows} rows the oldest first */
function alone(rows) {
  const fitted = rows.map(({ size }) => size).filter(Boolean);
  return { clearances: rows.map(({ exact }) => exact), limits: rows.at(-1)?.bounds, rebuilds: NEXT, ...(fitted.length ? { fitted } : {}) };
}

/**
 * @param {Rows} rows the oldest first
 * @param {Forecast} forecast
 */
function besideForecast(rows, forecast) {
  const known = new Set(forecast.choices.map(({ id }) => id)); // A size of an earlier edition may be none of today's.
  const rebuilds = rows.map(({ exact, size }) => ({ clearance: exact, ...(known.has(size) ? { fitted: size } : {}) }));
  return { rebuilds, ...forecast, limits: rows.at(-1)?.bounds, next: NEXT };
}

/**
 * @param {string} unit
 * @param {string} what
 */
function nameOf(unit, what) {
  return [unit, what].filter(Boolean).join(" · ");
}
