/**
 * What all files that a page saves and opens again have in common: what they are, by which version and of which manual.
 *
 * @typedef {object} Kind
 * @property {string} format
 * @property {number} version that this page reads
 * @property {number} largest in characters
 * @property {{large: string, damaged: string, other: string}} words for a file that is too large, that cannot be read, and that is something else
 */

/**
 * @param {string} text
 * @param {string} manual
 * @param {Kind} kind
 * @returns {{file: any} | {refused: string}} what is in the file, or why it is not taken
 */
export function openedFile(text, manual, { format, version, largest, words }) {
  if (text.length > largest) return { refused: words.large };
  /** @type {any} */
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    return { refused: words.damaged };
  }
  if (typeof file !== "object" || file === null || file.format !== format) return { refused: words.other };
  if (Number.isInteger(file.version) && file.version > version) {
    return { refused: `This file was saved by a newer edition of the manual (file version ${file.version}; this page reads ${version}). Open it there.` };
  }
  if (typeof file.manual === "string" && file.manual !== manual) {
    return { refused: `This file belongs to another manual: ${file.manual.slice(0, 80)}.` };
  }
  return { file };
}
