import { LoadProblem, withoutMachineCode } from "../load-problem.js";
import { completeImage, readImage } from "./memory-image.js";
import { bytesOf, openPart } from "../parts.js";
import { PRACTICE } from "../protocol.js";
import { bootRuntime } from "./runtime.js";

/** @typedef {import("../protocol.js").Manifest} Manifest */
/** @typedef {import("../protocol.js").PartName} PartName */
/** @typedef {import("../protocol.js").Phase} Phase */
/** @typedef {(calculation: string, request: string) => string} AnswerForPage */
/** @typedef {{answer: AnswerForPage, start: "image" | "stock"}} Started */

/**
 * Starts the engine: from its saved memory, or, where that cannot be, from the standard library and its wheel.
 *
 * @param {object} given
 * @param {Manifest} given.manifest
 * @param {import("../parts.js").OpenStored} given.open
 * @param {boolean} given.image whether the saved memory is to be tried
 * @param {(phase: Phase) => void} given.say
 * @returns {Promise<Started>}
 */
export async function startEngine({ manifest, open, image, say }) {
  const unable = withoutMachineCode();
  if (unable) throw unable;
  const part = (/** @type {PartName} */ name) => openPart(open, manifest, name);
  const wasm = compiled(part("wasm"));
  wasm.then(() => say("runtime"), () => {}); // Whoever waits for it reports a failure.
  const memory = image && manifest.parts.image ? bytesOf(part("image")) : undefined;
  memory?.catch(() => {});
  if (memory) {
    try {
      return { answer: await fromImage(manifest, wasm, memory, say), start: "image" };
    } catch (fault) {
      await wasm; // A program that will not compile is no fault of the image's.
      const why = fault instanceof Error ? fault.message : String(fault);
      console.warn(`Benchleaf: the saved memory could not be used (${why}). The engine starts the slow way.`);
    }
  }
  return { answer: await fromWheel(manifest, wasm, part, say), start: "stock" };
}

/**
 * @param {import("../parts.js").Opened} opened
 * @returns {Promise<WebAssembly.Module>}
 */
async function compiled({ content, sound }) {
  // Compiled while it comes in, but not run before it is known to be whole.
  const module = content.then(compile);
  module.catch(() => {});
  await sound; // What a damaged program does to the compiler is no reason to tell anybody.
  return module;
}

/** @param {import("../parts.js").Bytes} content */
async function compile(content) {
  // The type is ours to give, so a server that names it wrongly does no harm.
  const program = new Response(content, { headers: { "Content-Type": "application/wasm" } });
  return WebAssembly.compileStreaming ? WebAssembly.compileStreaming(program) : WebAssembly.compile(await program.arrayBuffer());
}

/**
 * @param {Manifest} manifest
 * @param {Promise<WebAssembly.Module>} wasm
 * @param {Promise<Uint8Array<ArrayBuffer>>} memory
 * @param {(phase: Phase) => void} say
 */
async function fromImage(manifest, wasm, memory, say) {
  const image = readImage(await memory);
  const { build, engine } = image.head;
  if (build !== manifest.build || engine !== manifest.engine) throw new Error("it belongs to another edition");
  const runtime = await bootRuntime({
    info: manifest.runtime,
    wasm,
    snapshot: image.snapshot,
    made(module) {
      completeImage(image, module.HEAPU8);
      say("engine");
    },
  });
  return doorOf(runtime);
}

/**
 * @param {Manifest} manifest
 * @param {Promise<WebAssembly.Module>} wasm
 * @param {(name: PartName) => ReturnType<typeof openPart>} part
 * @param {(phase: Phase) => void} say
 */
async function fromWheel(manifest, wasm, part, say) {
  const wheel = bytesOf(part("engine"));
  wheel.catch(() => {});
  const stdlib = await bytesOf(part("stdlib"));
  const runtime = await bootRuntime({ info: manifest.runtime, wasm, stdlib, made: () => say("engine") });
  say("engine");
  runtime.unpackArchive(await wheel, "wheel");
  return doorOf(runtime);
}

/**
 * One door for both: what is asked of practice is called by a verb behind its name, as no calculation is.
 *
 * @param {import("./runtime.js").Runtime} runtime
 * @returns {AnswerForPage}
 */
function doorOf(runtime) {
  // The calculations of this manual's own; importing them takes them into the catalogue.
  runtime.pyimport("own_calculations");
  const calculate = runtime.pyimport("calc_engine.page").answer_for_page;
  const practise = runtime.pyimport("calc_engine.practice.page").answer_for_practice;
  if (!calculate || !practise) throw new LoadProblem("fault", "the engine is not in its file", "Build the manual again");
  return (name, request) =>
    name.startsWith(PRACTICE) ? practise(name.slice(PRACTICE.length), request) : calculate(name, request);
}
