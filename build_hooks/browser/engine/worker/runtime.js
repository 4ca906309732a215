import { loadPyodide } from "pyodide";

/**
 * The Python runtime's own loader fetches its files and compiles them itself. It does not report when that fails, it only
 * stops; and it would do it after its script has loaded, not while. The bundler therefore leads its three calls of
 * `fetch`, `WebAssembly.instantiateStreaming` and `_createPyodideModule` to the hooks below, and nobody else's.
 *
 * @typedef {object} RuntimeHooks
 * @property {(url: string | URL) => Promise<Response>} fetch
 * @property {(response: unknown, imports: WebAssembly.Imports) => Promise<WebAssembly.WebAssemblyInstantiatedSource>} instantiate
 * @property {(settings: object) => Promise<EmscriptenModule>} create
 */

/** @typedef {import("pyodide").PyodideAPI} Runtime */

const NO_BYTES = new Uint8Array(0);

/**
 * @param {object} given
 * @param {import("pyodide").LockfileInfo} given.info what the runtime says of itself
 * @param {Promise<WebAssembly.Module>} given.wasm the program, being compiled
 * @param {Uint8Array<ArrayBuffer>} [given.stdlib] the standard library; an image needs none
 * @param {Uint8Array<ArrayBuffer>} [given.snapshot] memory to start from
 * @param {(module: EmscriptenModule) => void} [given.made] is called when the memory exists, before it is overwritten
 * @returns {Promise<Runtime>}
 */
export function bootRuntime({ info, wasm, stdlib = NO_BYTES, snapshot, made = () => {} }) {
  return new Promise((resolve, reject) => {
    globalThis.benchleafRuntime = {
      fetch: async () => new Response(stdlib),
      async instantiate(_response, imports) {
        try {
          const module = await wasm;
          return { module, instance: await WebAssembly.instantiate(module, imports) };
        } catch (fault) {
          reject(fault);
          throw fault;
        }
      },
      async create(settings) {
        if (!globalThis._createPyodideModule) throw new Error("the runtime's script is missing");
        const module = await globalThis._createPyodideModule(settings);
        made(module);
        return module;
      },
    };
    loadPyodide({
      // Never asked: every file comes through the hooks, so no address of a host is needed.
      indexURL: "data:,",
      packageBaseUrl: "data:,",
      lockFileContents: { info, packages: {} },
      stdin: () => null,
      ...(snapshot ? { _loadSnapshot: snapshot } : {}),
    }).then(resolve, reject);
  });
}
