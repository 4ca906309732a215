/** Why the engine could not start, in words for a reader. */
export class LoadProblem extends Error {
  /**
   * @param {string} code short stable name, for scripts
   * @param {string} why what is wrong
   * @param {string} mend what to do
   */
  constructor(code, why, mend) {
    super(why);
    this.name = "LoadProblem";
    this.code = code;
    this.mend = mend;
  }
}

const RELOAD = "Reload the page; if it fails again, ask whoever maintains this manual to build it again";

/** @param {string} file */
export function missing(file) {
  return new LoadProblem("missing", `the file “${file}” could not be read`, RELOAD);
}

/** @param {string} file */
export function stalled(file) {
  const mend = "Check the network, then try again";
  return new LoadProblem("stalled", `the file “${file}” stopped loading`, mend);
}

/**
 * What is wrong with a file whose digest is not the one it was built with.
 *
 * @param {string} file
 * @param {Uint8Array} start its first bytes
 * @param {number} length
 */
export function damaged(file, start, length) {
  if (length === 0) return new LoadProblem("empty", `the file “${file}” is empty`, RELOAD);
  if (/^\s*<(!doctype|html|head|body)/i.test(new TextDecoder().decode(start.subarray(0, 200)).replace(/^\ufeff/, ""))) {
    const mend = "A sign-in page of the network may stand in the way: sign in, then reload the page";
    return new LoadProblem("page", `the server sent a web page instead of the file “${file}”`, mend);
  }
  return new LoadProblem("damaged", `the file “${file}” is damaged or belongs to another edition`, RELOAD);
}

/** @param {string} calculation */
export function wrongAnswer(calculation) {
  return new LoadProblem(
    "wrong-answer",
    `the calculator gave a wrong answer to a known question (${calculation}); the manual's files are damaged`,
    "Build or copy it again",
  );
}

/**
 * @returns {LoadProblem | null} the problem when this browser cannot run a program such as the engine
 */
export function withoutMachineCode() {
  if (typeof WebAssembly === "object") return null;
  const why = "this browser has no WebAssembly, or it is switched off, and the calculator needs it";
  return new LoadProblem("no-webassembly", why, "Use another browser, or ask whoever looks after this one to switch it on");
}

/**
 * @param {unknown} fault
 * @returns {LoadProblem}
 */
export function asLoadProblem(fault) {
  if (fault instanceof LoadProblem) return fault;
  const message = lastLine(fault);
  if (/WebAssembly|wasm/i.test(`${nameOf(fault)} ${message}`)) {
    return new LoadProblem(
      "refused",
      "the browser, or a rule of the server, does not let the calculator's machine code run",
      "Try another browser, or ask whoever serves this manual to allow 'wasm-unsafe-eval'",
    );
  }
  const why = `its program failed to start (${[nameOf(fault), message].filter(Boolean).join(": ") || "without a reason"})`;
  return new LoadProblem("fault", why, "Reload the page; if it fails again, use another browser");
}

/** @param {unknown} fault */
function nameOf(fault) {
  const name = typeof fault === "object" && fault !== null && "name" in fault ? String(fault.name) : "";
  return name === "Error" || name === "PythonError" ? "" : name;
}

/**
 * The last line of a Python traceback names the fault; most other errors have one line only.
 *
 * @param {unknown} fault
 */
function lastLine(fault) {
  const text = typeof fault === "object" && fault !== null ? ("message" in fault ? String(fault.message) : "") : String(fault);
  return text.trim().split("\n").at(-1)?.trim().replace(/\.$/, "") ?? "";
}
