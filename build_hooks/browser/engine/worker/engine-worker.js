/**
 * The engine's side: starts the Python runtime and answers requests. It is the script of a worker; where no worker can
 * be made the same script is loaded into the page and serves on the page's own thread.
 */

import { asLoadProblem } from "../load-problem.js";
import { deliveredParts } from "../parts.js";
import { Proof } from "./proof.js";
import { warmUp } from "./warm-up.js";
import { startEngine } from "./start.js";
import { ENGINE_FAULT, VERSION, isOurs } from "../protocol.js";

/** @typedef {import("../protocol.js").ToEngine} ToEngine */
/** @typedef {import("../protocol.js").FromEngine} FromEngine */
/** @typedef {(post: (message: FromEngine) => void) => (message: ToEngine) => void} Serve */

/** @type {Serve} */
function serve(post) {
  const parts = deliveredParts((name) => post({ v: VERSION, kind: "need", id: 0, name }));
  /** @type {Proof | undefined} */
  let engine;

  /** @param {ToEngine & {kind: "start"}} message */
  async function start({ image, life }) {
    if (life) holdLife(life, () => post({ v: VERSION, kind: "alive", id: 0 }));
    /** @type {(phase: import("../protocol.js").Phase) => void} */
    const say = (phase) => post({ v: VERSION, kind: "phase", id: 0, phase });
    try {
      say("runtime");
      const started = await startEngine({ manifest: BENCHLEAF_MANIFEST, open: parts.open, image, say });
      engine = new Proof(started.answer, BENCHLEAF_MANIFEST.known);
      post({ v: VERSION, kind: "phase", id: 0, phase: "ready", start: started.start, engine: BENCHLEAF_MANIFEST.engine });
    } catch (fault) {
      fail("the engine could not start", fault);
    }
  }

  /**
   * @param {string} what
   * @param {unknown} fault
   */
  function fail(what, fault) {
    const { code, message, mend } = asLoadProblem(fault);
    engine = undefined;
    console.error(`Benchleaf: ${what}.`, fault);
    post({ v: VERSION, kind: "problem", id: 0, where: "load", code, why: message, mend });
  }

  /**
   * @param {(engine: Proof) => void} ask
   * @returns {boolean} whether the engine has proved itself by it; if not, it is of no use any more
   */
  function proved(ask) {
    try {
      if (engine) ask(engine);
      return engine !== undefined;
    } catch (fault) {
      fail("the engine gave a wrong answer", fault);
      return false;
    }
  }

  /** @param {ToEngine & {kind: "run"}} message */
  function run({ id, calculation, request }) {
    if (!engine || !proved((proof) => proof.prove(calculation))) return;
    try {
      const text = engine.answer(calculation, request);
      if (typeof text !== "string") throw new Error("its answer is no text");
      post({ v: VERSION, kind: "result", id, text });
    } catch (fault) {
      console.error("Benchleaf: the engine failed on a request.", fault);
      post({ v: VERSION, kind: "problem", id, ...ENGINE_FAULT });
    }
  }

  return (message) => {
    if (!isOurs(message)) return;
    if (message.kind === "start") void start(message);
    else if (message.kind === "warm-up") warmUp(message.calculations, (name) => proved((proof) => proof.practise(name)));
    else if (message.kind === "run") run(message);
    else parts.accept(message);
  };
}

/**
 * Holds a lock for as long as this worker lives: the page waits for that lock, and so learns at once when the worker dies.
 *
 * @param {string} name
 * @param {() => void} held
 */
function holdLife(name, held) {
  navigator.locks
    ?.request(name, () => {
      held();
      return new Promise(() => {});
    })
    .catch(() => {}); // Not on file:// pages.
}

if (typeof document === "undefined") {
  const receive = serve((message) => self.postMessage(message));
  self.onmessage = (event) => receive(event.data);
} else {
  globalThis.benchleafServe = serve;
}
