/**
 * What page and service worker say to each other.
 *
 * @typedef {{benchleaf: "load-edition"}} LoadEdition the reader wants the edition that waits
 * @typedef {{benchleaf: "tidy"}} Tidy a page has opened: editions that no page uses any more may be deleted
 * @typedef {{benchleaf: "not-kept", why: string, full: boolean}} NotStored an edition could not be stored
 */

/**
 * @param {unknown} message
 * @returns {message is LoadEdition | Tidy | NotStored}
 */
export function isOurs(message) {
  return typeof message === "object" && message !== null && "benchleaf" in message;
}
