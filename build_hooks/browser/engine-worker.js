/**
 * The engine's side: starts the Python runtime and answers requests. It is the script of a worker; where no worker can
 * be made the same script is loaded into the page and serves on the page's own thread.
 */

import { asLoadProblem } from "./engine/load-problem.js";
import { carriedParts, fetchedParts } from "./engine/parts.js";
import { rehearse } from "./engine/rehearsal.js";
import { startEngine } from "./engine/start.js";
import { ENGINE_FAULT, VERSION, isOurs } from "./protocol.js";

/** @typedef {import("./protocol.js").ToEngine} ToEngine */
/** @typedef {import("./protocol.js").FromEngine} FromEngine */
/** @typedef {(post: (message: FromEngine) => void) => (message: ToEngine) => void} Serve */

/** @type {Serve} */
function serve(post) {
  const carried = carriedParts((name) => post({ v: VERSION, kind: "need", id: 0, name }));
  /** @type {import("./engine/start.js").Started | undefined} */
  let started;

  /** @param {ToEngine & {kind: "start"}} message */
  async function start({ source, image }) {
    /** @type {(phase: import("./protocol.js").Phase) => void} */
    const say = (phase) => post({ v: VERSION, kind: "phase", id: 0, phase });
    try {
      say("runtime");
      started = await startEngine({
        manifest: BENCHLEAF_MANIFEST,
        open: source.kind === "fetched" ? fetchedParts(source.base) : carried.open,
        image,
        loadScript: () => {
          if (!globalThis._createPyodideModule && source.kind === "fetched") importScripts(`${source.base}runtime.js`);
        },
        say,
      });
      post({ v: VERSION, kind: "phase", id: 0, phase: "ready", start: started.start, engine: BENCHLEAF_MANIFEST.engine });
    } catch (fault) {
      const { code, message, mend } = asLoadProblem(fault);
      console.error("Benchleaf: the engine could not start.", fault);
      post({ v: VERSION, kind: "problem", id: 0, where: "load", code, why: message, mend });
    }
  }

  /** @param {ToEngine & {kind: "run"}} message */
  function run({ id, calculation, request }) {
    try {
      if (!started) throw new Error("it was asked before it was ready");
      const text = started.answer(calculation, request);
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
    else if (message.kind === "part") carried.accept(message.name, message.text);
    else if (message.kind === "rehearse" && started) rehearse(message.calculations, started.rehearse);
    else if (message.kind === "run") run(message);
  };
}

if (typeof document === "undefined") {
  const receive = serve((message) => self.postMessage(message));
  self.onmessage = (event) => receive(event.data);
} else {
  globalThis.benchleafServe = serve;
}
