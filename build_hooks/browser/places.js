import { VERSION, isOurs } from "./protocol.js";

/**
 * A place where the engine can run: a worker, or the page's own thread. Either may get its files by fetching them or,
 * on file://, from scripts that carry them as text.
 *
 * @typedef {object} Listener
 * @property {(message: import("./protocol.js").FromEngine) => void} message
 * @property {() => void} refused the place could not be made
 *
 * @typedef {object} Place
 * @property {(message: import("./protocol.js").ToEngine) => void} post
 * @property {() => void} stop
 * @property {boolean} apart whether the page goes on while it works
 *
 * @typedef {(listener: Listener) => Promise<Place>} OpenPlace
 */

/**
 * @param {string} base address of the engine's folder
 * @param {import("./carried.js").Carried | null} carried where the parts come from, when they cannot be fetched
 * @returns {OpenPlace}
 */
export function workerPlace(base, carried) {
  return async (listener) => {
    const Native = window.NativeWorker ?? window.Worker;
    const url = carried ? await carried.workerUrl() : `${base}benchleaf-worker.js`;
    const worker = new Native(url);
    worker.onmessage = ({ data }) => {
      if (isOurs(data)) listener.message(data);
    };
    worker.onerror = (event) => {
      event.preventDefault();
      listener.refused();
    };
    return { post: (message) => worker.postMessage(message), stop: () => worker.terminate(), apart: true };
  };
}

/**
 * @param {string} base
 * @returns {OpenPlace}
 */
export function ownThreadPlace(base) {
  return async (listener) => {
    if (!globalThis.benchleafServe) {
      await loadScript(`${base}runtime.js`);
      await loadScript(`${base}benchleaf-worker.js`);
    }
    let stopped = false;
    const receive = globalThis.benchleafServe?.((message) => {
      if (!stopped) listener.message(message);
    });
    if (!receive) throw new Error("the engine's script left nothing behind");
    // Later, as a worker would: the page must be able to paint in between.
    return { post: (message) => void setTimeout(() => receive(message)), stop: () => void (stopped = true), apart: false };
  };
}

/**
 * @param {string} url
 * @returns {Promise<void>}
 */
export function loadScript(url) {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = url;
    script.onload = () => (script.remove(), resolve());
    script.onerror = () => (script.remove(), reject(new Error(`could not load ${url}`)));
    document.head.append(script);
  });
}

/**
 * @param {import("./carried.js").Carried | null} carried
 * @param {string} base
 * @param {boolean} image
 * @returns {import("./protocol.js").ToEngine}
 */
export function startMessage(carried, base, image) {
  /** @type {import("./protocol.js").Source} */
  const source = carried ? { kind: "carried" } : { kind: "fetched", base };
  return { v: VERSION, kind: "start", id: 0, source, image };
}
