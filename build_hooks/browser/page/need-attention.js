/**
 * What a form says above entries that it cannot use.
 *
 * @param {number} count of those entries
 */
export function needAttention(count) {
  return count === 1 ? "1 entry needs attention." : `${count} entries need attention.`;
}
