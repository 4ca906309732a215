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

/**
 * @param {unknown} fault
 * @returns {LoadProblem}
 */
export function asLoadProblem(fault) {
  if (fault instanceof LoadProblem) return fault;
  if (fault instanceof WebAssembly.CompileError || (fault instanceof Error && /WebAssembly|wasm/i.test(fault.message))) {
    return new LoadProblem(
      "refused",
      "the browser, or a rule of the server, does not let the calculator's machine code run",
      "Try another browser, or ask whoever serves this manual to allow 'wasm-unsafe-eval'",
    );
  }
  return new LoadProblem(
    "fault",
    fault instanceof Error ? fault.message.split("\n")[0] ?? "" : String(fault),
    "Reload the page; if it fails again, use another browser",
  );
}
