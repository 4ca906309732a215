import qrcode from "qrcode-generator";

const SVG = "http://www.w3.org/2000/svg";
const QUIET = 4; // Modules of white around it: ISO/IEC 18004, 9.1.

/**
 * A text as a QR code (ISO/IEC 18004), drawn as one path so that it prints sharp at any size.
 *
 * @param {string} text
 * @param {string} label what it is, for those who do not see it
 * @returns {SVGSVGElement}
 */
export function squareCode(text, label) {
  const code = qrcode(0, "M");
  code.addData(String.fromCharCode(...new TextEncoder().encode(text)), "Byte"); // The library takes a byte of each character.
  code.make();
  const count = code.getModuleCount();
  const places = Array.from({ length: count * count }, (_place, at) => ({ row: Math.floor(at / count), column: at % count }));
  const dark = places.filter(({ row, column }) => code.isDark(row, column));
  const drawing = document.createElementNS(SVG, "svg");
  const size = count + 2 * QUIET;
  for (const [name, value] of Object.entries({ viewBox: `0 0 ${size} ${size}`, role: "img", "aria-label": label, class: "bench-square-code", "data-bench": "square-code" })) {
    drawing.setAttribute(name, value);
  }
  const path = document.createElementNS(SVG, "path");
  path.setAttribute("d", dark.map(({ row, column }) => `M${column + QUIET} ${row + QUIET}h1v1h-1z`).join(""));
  drawing.append(path);
  return drawing;
}
