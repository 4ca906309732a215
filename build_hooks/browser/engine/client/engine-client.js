import { LoadProblem, stalled } from "../load-problem.js";
import { Jobs } from "./jobs.js";
import { VERSION } from "../protocol.js";
import { TEXTS } from "./engine-texts.js";

/** @typedef {import("../protocol.js").Trouble} Trouble */
/** @typedef {"idle" | "loading" | "ready" | "failed"} EngineState */
/** @typedef {{startSilence: number, workSilence: number, run: number}} Limits milliseconds without progress: while files are
 *   awaited, and while the worker works on them; and the longest that an answer may take */

const SLOW = 3000; // Milliseconds of a start after which a reader wants to know how far it is.
const DEATHS = 3; // A worker that the browser ends again and again would end again.

/** The one engine of a page: started once, given numbered requests, watched, and restarted when it hangs. */
export class EngineClient extends EventTarget {
  /** @type {EngineState} */
  state = "idle";
  /** @type {Trouble | null} why the last start failed */
  trouble = null;
  /** @type {"image" | "stock" | null} how it was started */
  startedFrom = null;
  /** Tenths of a slow start's files that have come. */
  progress = 0;

  #jobs = new Jobs();
  /** @type {import("./engine-hosts.js").Host | null} */
  #host = null;
  /** Counts starts: what comes from an earlier host is ignored. */
  #start = 0;
  #at = 0;
  #image = true;
  #again = false;
  #began = 0;
  #bytes = 0;
  #deaths = 0;
  #life = "";
  /** @type {Set<import("../protocol.js").PartName>} */
  #sent = new Set();
  /** @type {import("../protocol.js").Delivery[]} what arrived before the host was ready */
  #waiting = [];
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #watch;

  /**
   * @param {object} given
   * @param {(supply: import("./supply.js").Supply) => import("./engine-hosts.js").OpenHost[]} given.hosts in the order in which
   *   they are tried
   * @param {(arrived: (bytes: number) => void) => import("./supply.js").Supply} given.supply where the files come from
   * @param {Limits} given.limits
   * @param {() => string[]} given.calculations those of the page
   */
  constructor({ supply, hosts, limits, calculations }) {
    super();
    this.supply = supply((bytes) => this.#arrived(bytes));
    this.hosts = hosts(this.supply);
    this.limits = limits;
    this.calculations = calculations;
  }

  /** Starts the engine, unless it has been started. */
  start() {
    if (this.state === "idle") this.#open();
  }

  /** Starts it again after a failure; this time without the saved memory, in case that was the cause. */
  retry() {
    if (this.state !== "failed") return;
    this.#image = false;
    this.#again = true;
    this.#deaths = 0;
    this.#at = 0;
    this.#open();
  }

  /**
   * Asks for an answer. Until the engine is ready the newest request of a slot waits, and older ones are dropped.
   *
   * @param {string} slot who asks
   * @param {string} calculation
   * @param {string} request JSON
   * @returns {Promise<import("./jobs.js").Answer | null>} null when a newer request took its place; rejects with a `Trouble`
   */
  run(slot, calculation, request) {
    const { answer } = this.#jobs.add(slot, calculation, request);
    this.start();
    if (this.state === "ready") this.#send();
    return answer;
  }

  #open() {
    this.#close();
    const start = this.#start;
    const mine = () => start === this.#start;
    this.trouble = null;
    this.#began = performance.now();
    this.#bytes = this.progress = 0;
    this.#become("loading");
    this.#expectSign();
    const refused = () => {
      if (mine() && this.state === "loading") this.#nextHost();
    };
    const open = this.hosts[this.#at];
    if (!open) return this.#fail({ where: "load", code: "no-place", why: TEXTS.noPlace, mend: TEXTS.noPlaceMend });
    this.supply.begin(this.#again);
    this.#again = false;
    this.#waiting = [];
    this.#sent = new Set();
    // On their way before they are asked for: fetching them takes longer than making the worker.
    this.#deliver("wasm");
    if (this.#image && this.supply.files.parts.image) this.#deliver("image");
    open({ message: (message) => mine() && this.#heard(message), refused }).then((host) => {
      if (!mine()) return host.stop();
      this.#host = host;
      const life = host.apart ? `benchleaf:${start}:${Math.random()}` : "";
      this.#life = life;
      host.post({ v: VERSION, kind: "start", id: 0, image: this.#image, life });
      for (const message of this.#waiting.splice(0)) host.post(message);
    }, (fault) => {
      if (!(fault instanceof LoadProblem)) refused();
      else if (mine()) this.#fail(troubleOf(fault));
    });
  }

  #nextHost() {
    this.#at += 1;
    this.#open();
  }

  #close() {
    this.#start += 1;
    clearTimeout(this.#watch);
    this.supply.stop();
    this.#host?.stop();
    this.#host = null;
    this.#jobs.unsend();
  }

  #expectSign() {
    clearTimeout(this.#watch);
    this.#watch = setTimeout(() => this.#silent(), this.limits.startSilence);
  }

  /**
   * No byte and no message has arrived for a long time.
   *
   * @param {boolean} [longer] whether the worker has had the time that a slow machine may need
   */
  #silent(longer = false) {
    const awaited = this.supply.awaited().map(({ file }) => file);
    if (!awaited.length && !longer) {
      this.#watch = setTimeout(() => this.#silent(true), this.limits.workSilence - this.limits.startSilence);
      return;
    }
    const file = awaited.find((name) => name !== this.supply.files.parts.image?.file);
    if (file) return this.#fail(troubleOf(stalled(file)));
    if (!this.#image) {
      return this.#fail({ where: "load", code: "silent", why: TEXTS.silentStart, mend: TEXTS.silentStartMend });
    }
    const what = awaited.length ? "the saved memory did not arrive" : "the engine did not respond";
    console.warn(`Benchleaf: ${what}. It is being started again, the slow way.`);
    this.#image = false;
    this.#open();
  }

  /** @param {number} bytes have just come */
  #arrived(bytes) {
    if (this.state !== "loading") return;
    this.#expectSign();
    this.#bytes += bytes;
    const { parts, scripts } = this.supply.files;
    const wanted = this.#image && parts.image ? [parts.wasm, parts.image] : [parts.wasm, parts.stdlib, parts.engine];
    const all = [...wanted, ...scripts].reduce((sum, part) => sum + (part?.bytes ?? 0), 0);
    const tenths = Math.min(9, Math.floor((10 * this.#bytes) / all));
    if (tenths <= this.progress || performance.now() - this.#began < SLOW) return;
    this.progress = tenths;
    this.dispatchEvent(new Event("state"));
  }

  /** The worker has died. What was asked of it is asked again of the next. */
  #died() {
    this.#deaths += 1;
    if (this.#deaths > DEATHS) {
      return this.#fail({ where: "load", code: "ended", why: TEXTS.ended, mend: TEXTS.endedMend });
    }
    console.warn("Benchleaf: the browser has ended the engine's worker. It is started again.");
    this.#open();
  }

  /** Waits for the lock that the worker holds as long as it lives. */
  #mourn() {
    const start = this.#start;
    navigator.locks?.request(this.#life, () => void (start === this.#start && this.#died())).catch(() => {});
  }

  /** @param {Trouble} trouble */
  #fail(trouble) {
    this.#close();
    this.trouble = trouble;
    this.#become("failed");
  }

  /** @param {EngineState} state */
  #become(state) {
    this.state = state;
    document.documentElement.dataset.engine = state;
    this.dispatchEvent(new Event("state"));
  }

  /** @param {import("../protocol.js").FromEngine} message */
  #heard(message) {
    if (message.kind === "need") this.#deliver(message.name);
    else if (message.kind === "alive") this.#mourn();
    else if (message.kind === "phase" && message.phase === "ready") this.#ready(message.start ?? null);
    else if (message.kind === "phase") this.#expectSign();
    else if (message.kind === "problem" && message.id === 0) this.#fail(message);
    else this.#jobs.settle(message);
  }

  /** @param {"image" | "stock" | null} from */
  #ready(from) {
    clearTimeout(this.#watch);
    this.startedFrom = from;
    document.documentElement.dataset.engineStart = from ?? "";
    this.#become("ready");
    this.#send();
    this.#warmUp();
  }

  /** Runs what a reader may ask next. On the page's own thread it would hold up typing. */
  #warmUp() {
    const calculations = [...new Set(this.calculations())];
    if (this.#host?.apart && calculations.length) this.#host.post({ v: VERSION, kind: "warm-up", id: 0, calculations });
  }

  #send() {
    this.#jobs.send(
      ({ id, calculation, request }) => this.#host?.post({ v: VERSION, kind: "run", id, calculation, request }),
      this.limits.run,
      () => this.#open(), // What else was asked is asked again when it is up.
    );
  }

  /**
   * Once for each start, whether it is asked for or not.
   *
   * @param {import("../protocol.js").PartName} name
   */
  #deliver(name) {
    if (this.#sent.has(name)) return;
    this.#sent.add(name);
    const start = this.#start;
    void this.supply.deliver(name, (message) => {
      if (start !== this.#start) return;
      if (this.#host) this.#host.post(message);
      else this.#waiting.push(message);
    });
  }
}

/**
 * @param {LoadProblem} problem
 * @returns {Trouble}
 */
function troubleOf({ code, message, mend }) {
  return { where: "load", code, why: message, mend };
}
