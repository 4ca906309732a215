import { CalcPanel } from "./calc-panel.js";

/** @param {import("./calc-panel.js").Bench} bench */
export function defineCalcPanel(bench) {
  CalcPanel.bench = bench;
  if (!customElements.get("bench-calc")) customElements.define("bench-calc", CalcPanel);
}
