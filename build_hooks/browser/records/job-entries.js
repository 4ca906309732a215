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
  const moments = entries.map((entry) => ({ entry, moment: Date.parse(entry.value.at) }));
  const sorted = moments.sort((one, other) => one.moment - other.moment || (one.entry.value.id < other.entry.value.id ? -1 : 1));
  return sorted.map(({ entry }) => entry);
}

/** @param {string} id of an entry */
export function jobOf(id) {
  return id.split("/")[0] ?? "";
}
