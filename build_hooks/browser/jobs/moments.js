/** Days and moments as the sheet and the lists of jobs write them: in the time of the shop, not in universal time. */

/** @param {string} moment in universal time */
export function dayOf(moment) {
  return moment ? new Date(moment).toLocaleDateString("en-GB", { day: "numeric", month: "short", year: "numeric" }) : "";
}

/** @param {string} moment */
export function momentOf(moment) {
  return `${dayOf(moment)} ${timeOf(moment)}`;
}

/**
 * From one moment to another: the day once if it is the same, and one minute not twice.
 *
 * @param {string} from
 * @param {string} to
 */
export function spanOf(from, to) {
  if (dayOf(from) !== dayOf(to)) return `${momentOf(from)} to ${momentOf(to)}`;
  return timeOf(from) === timeOf(to) ? momentOf(from) : `${momentOf(from)}–${timeOf(to)}`;
}

/** @param {string} moment */
export function timeOf(moment) {
  return new Date(moment).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}
