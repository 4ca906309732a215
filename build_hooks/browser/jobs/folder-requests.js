import { FORMAT } from "../records/job-file.js";

/**
 * Asks a folder that a server offers by WebDAV (RFC 4918) for its files, and writes one only over the version that was read
 * (RFC 9110, 13.1). The browser adds its own name and password, if the server wants one.
 */

/**
 * @typedef {"unreachable" | "server" | "password" | "refused" | "missing" | "no-list" | "no-tags" | "unsafe" | "full" | "large" | "storage"} FolderTrouble
 *   `storage` is that of this browser
 */

/** Why the folder cannot be used. */
export class FolderFault extends Error {
  /**
   * @param {FolderTrouble} trouble
   * @param {number} [status] the server's answer
   */
  constructor(trouble, status = 0) {
    super(`shared folder: ${trouble} ${status}`);
    this.trouble = trouble;
    this.status = status;
  }
}

export const LARGEST = 50_000_000; // Bytes of a job's file.
const LARGEST_LIST = 10_000_000;
const PATIENCE = 30_000; // Milliseconds for a small answer.
const LONG_PATIENCE = 120_000; // For a file; and for the folder's list, because somebody may have to find the password first.
const NAME = /^([0-9a-f]{16})\.json$/;
const ASKED =
  '<?xml version="1.0" encoding="utf-8"?><D:propfind xmlns:D="DAV:"><D:prop><D:getetag/><D:getcontentlength/></D:prop></D:propfind>';
/** A job that is none: written only by a server that does not check what it is told to. */
const NOBODY = "0".repeat(16);
const TROUBLE_OF = /** @type {Record<number, FolderTrouble>} */ ({ 401: "password", 404: "missing", 410: "missing", 413: "large", 507: "full" });

/** @param {string} tag whether it says that every byte is the same (RFC 9110, 8.8.1) */
export function isStrong(tag) {
  return tag.startsWith('"');
}

export class FolderRequests {
  /** @type {AbortController | undefined} of the request that is out */
  #stop;

  /** @param {string} address of the folder, with a slash at its end */
  constructor(address) {
    this.address = address;
  }

  /** Waits no longer for the answer that is due. */
  stop() {
    this.#stop?.abort();
  }

  /** @returns {Promise<Map<string, string>>} the tag of each job's file, by job */
  async list() {
    const tags = await this.#listed("", "1");
    if (!tags) throw new FolderFault("missing", 404);
    tags.delete(NOBODY);
    return tags;
  }

  /**
   * @param {string} job
   * @returns {Promise<string | null>} null when there is no such file
   */
  async tagOf(job) {
    return (await this.#listed(`${job}.json`, "0"))?.get(job) ?? null;
  }

  /**
   * @param {string} job
   * @returns {Promise<string | null>} what is in its file; null when there is no such file
   */
  async read(job) {
    return this.#ask("GET", `${job}.json`, {}, LONG_PATIENCE, async (answer) => {
      if (answer.status === 404) return null;
      needOk(answer);
      return textOf(answer, LARGEST);
    });
  }

  /**
   * @param {string} job
   * @param {string} text
   * @param {string | null} tag of the version that was read; null when there was none
   * @returns {Promise<{tag: string | null} | null>} the new tag, if the server says it; null when nothing was written, because the file is another by now
   */
  async write(job, text, tag) {
    const headers = new Headers({ "Content-Type": "application/json" });
    if (tag === null) headers.set("If-None-Match", "*");
    else headers.set("If-Match", tag);
    return this.#ask("PUT", `${job}.json`, { headers, body: text }, LONG_PATIENCE, async (answer) => {
      if (answer.status === 412) return null;
      needOk(answer);
      const made = answer.headers.get("ETag");
      return { tag: made && isStrong(made) ? made : null };
    });
  }

  /**
   * Tries whether the server heeds a condition that cannot be met.
   *
   * @param {string} manual
   */
  async needConditions(manual) {
    const headers = { "Content-Type": "application/json", "If-Match": '"of no file"' };
    const body = `${JSON.stringify({ format: FORMAT, manual, about: "Left by a server that does not check conditions." })}\n`;
    await this.#ask("PUT", `${NOBODY}.json`, { headers, body }, PATIENCE, async (answer) => {
      if (answer.ok) throw new FolderFault("unsafe", answer.status);
      if (![404, 409, 412].includes(answer.status)) needOk(answer);
    });
  }

  /**
   * @param {string} name
   * @param {"0" | "1"} depth
   * @returns {Promise<Map<string, string> | null>} null when there is nothing of that name
   */
  async #listed(name, depth) {
    const headers = { Depth: depth, "Content-Type": "application/xml; charset=utf-8" };
    return this.#ask("PROPFIND", name, { headers, body: ASKED }, depth === "1" ? LONG_PATIENCE : PATIENCE, async (answer) => {
      if (answer.status === 404) return null;
      if ([400, 405, 501].includes(answer.status)) throw new FolderFault("no-list", answer.status);
      needOk(answer);
      if (answer.status !== 207) throw new FolderFault("no-list", answer.status);
      return tagsIn(await textOf(answer, LARGEST_LIST));
    });
  }

  /**
   * @template T
   * @param {string} method
   * @param {string} name
   * @param {RequestInit} more
   * @param {number} patience
   * @param {(answer: Response) => Promise<T>} take within the same time
   * @returns {Promise<T>}
   */
  async #ask(method, name, more, patience, take) {
    const stop = (this.#stop = new AbortController());
    const clock = setTimeout(() => stop.abort(), patience);
    try {
      // A server that leads elsewhere, to a page for signing in, is no folder.
      const answer = await fetch(`${this.address}${name}`, { method, credentials: "include", cache: "no-store", redirect: "manual", signal: stop.signal, ...more });
      return await take(answer);
    } catch (fault) {
      throw fault instanceof FolderFault ? fault : new FolderFault("unreachable");
    } finally {
      clearTimeout(clock);
    }
  }
}

/** @param {Response} answer */
function needOk(answer) {
  if (answer.ok) return;
  const { status } = answer;
  const busy = [408, 423, 425, 429].includes(status) || (status >= 500 && status !== 501);
  throw new FolderFault(TROUBLE_OF[status] ?? (busy ? "server" : "refused"), status);
}

/**
 * @param {Response} answer
 * @param {number} largest in bytes
 */
async function textOf(answer, largest) {
  const reader = answer.body?.getReader();
  const decoder = new TextDecoder();
  let [text, size] = ["", 0];
  for (let part = await reader?.read(); part && !part.done; part = await reader?.read()) {
    size += part.value.length;
    if (size > largest) throw new FolderFault("large");
    text += decoder.decode(part.value, { stream: true });
  }
  return text + decoder.decode();
}

/**
 * The tags in a server's list, by job. Names that are no job's are passed over: the folder may hold other things.
 *
 * @param {string} text
 * @returns {Map<string, string>}
 */
function tagsIn(text) {
  const list = new DOMParser().parseFromString(text, "application/xml");
  if (list.documentElement.namespaceURI !== "DAV:" || list.documentElement.localName !== "multistatus") throw new FolderFault("no-list", 207);
  /** @type {Map<string, string>} */
  const tags = new Map();
  for (const one of list.getElementsByTagNameNS("DAV:", "response")) {
    const address = one.getElementsByTagNameNS("DAV:", "href")[0]?.textContent?.trim() ?? "";
    const job = NAME.exec(address.slice(address.lastIndexOf("/") + 1))?.[1];
    if (!job) continue;
    const tag = one.getElementsByTagNameNS("DAV:", "getetag")[0]?.textContent?.trim();
    if (!tag) throw new FolderFault("no-tags", 207);
    tags.set(job, tag);
  }
  return tags;
}
