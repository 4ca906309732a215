/* Names that are in no library the type checker knows: what the bundler inserts, and what other scripts define. */

import type { EngineFiles, Manifest } from "./engine/protocol.js";
import type { RuntimeHooks } from "./engine/worker/runtime.js";
import type { Serve } from "./engine/worker/engine-worker.js";

declare global {
  /** Put in by the bundler: the parts of this build of the engine. */
  const BENCHLEAF_MANIFEST: Manifest;
  /** Put in by the bundler: the files of this build of the engine. */
  const BENCHLEAF_ENGINE: EngineFiles;

  /** The runtime loader's own calls are led through here (see engine/runtime.js). */
  var benchleafRuntime: RuntimeHooks;
  /** Left by the worker's script where it runs on the page's own thread. */
  var benchleafServe: Serve | undefined;
  /** Called by the scripts with the inlined parts. */
  var benchleafPart: ((name: string, text: string) => void) | undefined;
  /** Left by the runtime's script. */
  var _createPyodideModule: ((settings: object) => Promise<EmscriptenModule>) | undefined;
  /** Saved by the theme before its search shim replaces `Worker` on file:// pages. */
  var NativeWorker: typeof Worker | undefined;
  function importScripts(...urls: string[]): void;

  interface EmscriptenModule {
    HEAPU8: Uint8Array<ArrayBuffer>;
    HEAP32: Int32Array;
    stackSave(): number;
    __PyRuntime: number;
    __PyEM_EMSCRIPTEN_COUNT_ARGS_OFFSET: number;
    _emscripten_stack_get_end(): number;
    _PyMem_RawMalloc(bytes: number): number;
    _PyMem_RawFree(address: number): void;
    _malloc_usable_size(address: number): number;
    _malloc_footprint(): number;
    _malloc_set_footprint_limit(bytes: number): number;
  }
  interface Uint8ArrayConstructor {
    fromBase64?(text: string): Uint8Array<ArrayBuffer>;
  }
}
