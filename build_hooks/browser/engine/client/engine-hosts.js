import { isOurs } from "../protocol.js";

/**
 * A host is what the engine runs in: a worker, or the page's own thread. Either gets its files by fetching them or,
 * on file://, from scripts with the files inlined as text.
 *
 * @typedef {object} Listener
 * @property {(message: import("../protocol.js").FromEngine) => void} message
 * @property {() => void} refused the host could not be started
 *
 * @typedef {object} Host
 * @property {(message: import("../protocol.js").ToEngine) => void} post
 * @property {() => void} stop
 * @property {boolean} apart whether the page stays usable while it works
 *
 * @typedef {(listener: Listener) => Promise<Host>} OpenHost
 */

/**
 * @param {import("./supply.js").Supply} supply
 * @returns {OpenHost}
 */
export function workerHost(supply) {
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
 * @returns {OpenHost}
 */
export function ownThreadHost(supply) {
  return async (listener) => {
    if (!globalThis.benchleafServe) await supply.loadScripts();
    let stopped = false;
    const receive = globalThis.benchleafServe?.((message) => {
      if (!stopped) listener.message(message);
    });
    if (!receive) throw new Error("the engine's script defined nothing");
    // Later, as a worker would: the page must be able to paint in between.
    return { post: (message) => void setTimeout(() => receive(message)), stop: () => void (stopped = true), apart: false };
  };
}
