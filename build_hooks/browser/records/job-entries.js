/**
 * The entries of a job. They are only ever added; docs/schemas/jobs.schema.json says what is in each.
 *
 * @typedef {{id: string, at: string, person: string, device: string, edition: string} & Record<string, any>} Entry
 * @typedef {{list: string, value: Entry}} Listed an entry, and the list of the file that it belongs to
 */

/**
 * The same order on every machine: by the moment, then by the key.
 *
 * @param {Listed[]} entries
 * @returns {Listed[]}
 */
export function inOrder(entries) {
  const places = entries.map((entry) => ({ entry, place: placeOf(entry.value) }));
  return places.sort((one, other) => (one.place < other.place ? -1 : 1)).map(({ entry }) => entry);
}

/**
 * Where an entry belongs among the others, as a text that sorts: browsers differ in what they make of 31 February, and thousandths of a
 * second may be left out of a moment.
 *
 * @param {Entry} entry
 */
export function placeOf({ at, id }) {
  const [whole = "", part = ""] = at.replace("Z", "").split(".");
  return `${whole}.${part.padEnd(3, "0")} ${id}`;
}

/** @param {string} id of an entry */
export function jobOf(id) {
  return id.split("/")[0] ?? "";
}
