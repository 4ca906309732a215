/**
 * The saved memory of a started engine, as a file.
 *
 * Most of what a started runtime has in its first few megabytes is what its program file puts there anyway. The file
 * therefore holds the difference to that (exclusive or), and no empty stretches: a third of the bytes.
 *
 * Layout: mark, length of the head, head (JSON), zeros up to a multiple of 16, then the stretches one after another.
 */

const MARK = 0x4d4c4e42; // "BNLM"

/**
 * @typedef {object} ImageHead
 * @property {string} build hash of what the image depends on
 * @property {string} engine version of the engine in it
 * @property {number} length of the runtime's snapshot, in bytes
 * @property {number} memory where the memory begins in the snapshot
 * @property {number} shared bytes of the memory that are held as a difference
 * @property {[number, number][]} own stretches of those that are held as they are, for they depend on chance or time
 * @property {number[]} page addresses of words that each browser sets for itself: they are left as they are found
 * @property {number} check checksum of the shared bytes
 * @property {[number, number][]} stretches start and length of each stretch that is not empty
 */

/** @typedef {{head: ImageHead, snapshot: Uint8Array<ArrayBuffer>}} Image */

/**
 * @param {Uint8Array<ArrayBuffer>} snapshot what the runtime gave; it is changed
 * @param {Uint8Array<ArrayBuffer>} fresh the memory of a runtime that was made but not started
 * @param {Omit<ImageHead, "length" | "check" | "stretches">} facts
 * @returns {Uint8Array<ArrayBuffer>} the file
 */
export function writeImage(snapshot, fresh, facts) {
  const check = checksum(snapshot, facts.memory, facts.shared);
  mix(snapshot, fresh, facts);
  const stretches = stretchesWhere(snapshot.length, PAGE, (from, to) => snapshot.subarray(from, to).some(Boolean));
  const head = new TextEncoder().encode(JSON.stringify({ ...facts, length: snapshot.length, check, stretches }));
  const start = roundedUp(8 + head.length);
  const file = new Uint8Array(start + stretches.reduce((sum, [, length]) => sum + length, 0));
  new Uint32Array(file.buffer, 0, 2).set([MARK, head.length]);
  file.set(head, 8);
  let at = start;
  for (const [from, length] of stretches) {
    file.set(snapshot.subarray(from, from + length), at);
    at += length;
  }
  return file;
}

/**
 * @param {Uint8Array<ArrayBuffer>} file
 * @returns {Image} with a snapshot that still lacks what the program file puts into memory
 */
export function readImage(file) {
  const [mark, headLength] = new Uint32Array(file.buffer, 0, 2);
  if (mark !== MARK || headLength === undefined) throw new Error("the memory image does not begin as one");
  /** @type {ImageHead} */
  const head = JSON.parse(new TextDecoder().decode(file.subarray(8, 8 + headLength)));
  const snapshot = new Uint8Array(head.length);
  let at = roundedUp(8 + headLength);
  for (const [from, length] of head.stretches) {
    snapshot.set(file.subarray(at, at + length), from);
    at += length;
  }
  return { head, snapshot };
}

/**
 * Fills in what the program file has put into the memory of a runtime that was made but not started.
 *
 * @param {Image} image
 * @param {Uint8Array<ArrayBuffer>} fresh
 */
export function completeImage({ head, snapshot }, fresh) {
  mix(snapshot, fresh, head);
  if (checksum(snapshot, head.memory, head.shared) !== head.check) {
    throw new Error("the memory image does not fit this runtime");
  }
  for (const address of head.page) snapshot.set(fresh.subarray(address, address + 4), head.memory + address);
}

/**
 * @param {Uint8Array<ArrayBuffer>} snapshot
 * @param {Uint8Array<ArrayBuffer>} fresh
 * @param {Pick<ImageHead, "memory" | "shared" | "own">} facts
 */
function mix(snapshot, fresh, { memory, shared, own }) {
  const ours = new Uint32Array(snapshot.buffer, memory, shared >> 2);
  const theirs = new Uint32Array(fresh.buffer, fresh.byteOffset, shared >> 2);
  let from = 0;
  for (const [start, length] of [...own, /** @type {const} */ ([shared, 0])]) {
    for (let at = from >> 2; at < start >> 2; at++) {
      ours[at] = /** @type {number} */ (ours[at]) ^ /** @type {number} */ (theirs[at]);
    }
    from = start + length;
  }
}

/**
 * FNV-1a over 32-bit words.
 *
 * @param {Uint8Array<ArrayBuffer>} bytes
 * @param {number} start
 * @param {number} length
 */
function checksum(bytes, start, length) {
  let sum = 0x811c9dc5;
  for (const word of new Uint32Array(bytes.buffer, start, length >> 2)) sum = Math.imul(sum ^ word, 0x01000193);
  return sum >>> 0;
}

const PAGE = 1 << 14;

/**
 * @param {number} length
 * @param {number} step
 * @param {(from: number, to: number) => boolean} wanted
 * @returns {[number, number][]} start and length of the stretches, in whole steps, of which it is true
 */
export function stretchesWhere(length, step, wanted) {
  /** @type {[number, number][]} */
  const found = [];
  for (let from = 0; from < length; from += step) {
    const to = Math.min(from + step, length);
    if (!wanted(from, to)) continue;
    const last = found.at(-1);
    if (last && last[0] + last[1] === from) last[1] += to - from;
    else found.push([from, to - from]);
  }
  return found;
}

/** @param {number} length */
function roundedUp(length) {
  return Math.ceil(length / 16) * 16;
}
