import { isOurs } from "../protocol.js";

/**
 * A place where the engine can run: a worker, or the page's own thread. Either may get its files by fetching them or,
 * on file://, from scripts that carry them as text.
 *
 * @typedef {object} Listener
 * @property {(message: import("../protocol.js").FromEngine) => void} message
 * @property {() => void} refused the place could not be made
 *
 * @typedef {object} Place
 * @property {(message: import("../protocol.js").ToEngine) => void} post
 * @property {() => void} stop
 * @property {boolean} apart whether the page goes on while it works
 *
 * @typedef {(listener: Listener) => Promise<Place>} OpenPlace
 */

/**
 * @param {import("./supply.js").Supply} supply
 * @returns {OpenPlace}
 */
export function workerPlace(supply) {
  return async (listener) => {
    const Native = window.NativeWorker ?? window.Worker;
    // One script of both, made from bytes that have been checked: a worker that fetched them itself could not check them.
    const scripts = (await supply.scripts()).flatMap((bytes) => [bytes, "\n"]);
    const url = URL.createObjectURL(new Blob(scripts, { type: "text/javascript" }));
    const worker = new Native(url);
    worker.onmessage = ({ data }) => {
      if (isOurs(data)) listener.message(data);
    };
    worker.onerror = (event) => {
      event.preventDefault();
      listener.refused();
    };
    const stop = () => {
      worker.terminate();
      URL.revokeObjectURL(url);
    };
    return { post: (message) => worker.postMessage(message), stop, apart: true };
  };
}

/**
 * @param {import("./supply.js").Supply} supply
 * @returns {OpenPlace}
 */
export function ownThreadPlace(supply) {
  return async (listener) => {
    if (!globalThis.benchleafServe) await supply.loadScripts();
    let stopped = false;
    const receive = globalThis.benchleafServe?.((message) => {
      if (!stopped) listener.message(message);
    });
    if (!receive) throw new Error("the engine's script left nothing behind");
    // Later, as a worker would: the page must be able to paint in between.
    return { post: (message) => void setTimeout(() => receive(message)), stop: () => void (stopped = true), apart: false };
  };
}
