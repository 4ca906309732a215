/**
 * What is left, as on a kitchen clock. It is rounded up: at 0:00 it is over, and not before.
 *
 * @param {number} milliseconds
 * @returns {string} minutes and seconds, with hours where there are any
 */
export function clockText(milliseconds) {
  const seconds = Math.ceil(milliseconds / 1000);
  const [hours, minutes, rest] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  const last = String(rest).padStart(2, "0");
  return hours ? `${hours}:${String(minutes).padStart(2, "0")}:${last}` : `${minutes}:${last}`;
}

/**
 * @param {number} time in milliseconds since 1970
 * @returns {string} the time of day
 */
export function timeOfDay(time) {
  return new Date(time).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
}
