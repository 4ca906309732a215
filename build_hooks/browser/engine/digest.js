/**
 * SHA-256, a piece at a time.
 *
 * The browser's own digest is missing on plain http, and it takes no pieces; what is fetched there is therefore digested
 * here, while the rest of it is still on its way.
 *
 * Source: FIPS 180-4; its constants are worked out below as it says: the fractions of the roots of the first primes.
 */
export class Sha256 {
  #state = Int32Array.from(primes(8), (prime) => fraction(Math.sqrt(prime)));
  #words = new Int32Array(64);
  #rest = new Uint8Array(64);
  #filled = 0;
  #length = 0;

  /** @param {Uint8Array} bytes */
  update(bytes) {
    this.#length += bytes.length;
    let at = 0;
    if (this.#filled) {
      at = Math.min(64 - this.#filled, bytes.length);
      this.#rest.set(bytes.subarray(0, at), this.#filled);
      this.#filled += at;
      if (this.#filled < 64) return this;
      this.#block(this.#rest, 0);
      this.#filled = 0;
    }
    for (; at + 64 <= bytes.length; at += 64) this.#block(bytes, at);
    this.#rest.set(bytes.subarray(at));
    this.#filled = bytes.length - at;
    return this;
  }

  /** @returns {string} the digest of all pieces, hexadecimal; nothing may be added afterwards */
  hex() {
    const bits = this.#length * 8;
    const end = new Uint8Array((this.#filled < 56 ? 64 : 128) - this.#filled);
    end[0] = 0x80;
    const view = new DataView(end.buffer);
    view.setUint32(end.length - 8, Math.floor(bits / 2 ** 32));
    view.setUint32(end.length - 4, bits >>> 0);
    this.update(end);
    return Array.from(this.#state, (word) => (word >>> 0).toString(16).padStart(8, "0")).join("");
  }

  /**
   * @param {Uint8Array} bytes
   * @param {number} start
   */
  #block(bytes, start) {
    const w = this.#words;
    for (let t = 0, at = start; t < 16; t++, at += 4) {
      w[t] = (byte(bytes, at) << 24) | (byte(bytes, at + 1) << 16) | (byte(bytes, at + 2) << 8) | byte(bytes, at + 3);
    }
    for (let t = 16; t < 64; t++) {
      const x = word(w, t - 15);
      const y = word(w, t - 2);
      const s0 = ((x >>> 7) | (x << 25)) ^ ((x >>> 18) | (x << 14)) ^ (x >>> 3);
      const s1 = ((y >>> 17) | (y << 15)) ^ ((y >>> 19) | (y << 13)) ^ (y >>> 10);
      w[t] = (word(w, t - 16) + s0 + word(w, t - 7) + s1) | 0;
    }
    const state = this.#state;
    let a = word(state, 0);
    let b = word(state, 1);
    let c = word(state, 2);
    let d = word(state, 3);
    let e = word(state, 4);
    let f = word(state, 5);
    let g = word(state, 6);
    let h = word(state, 7);
    for (let t = 0; t < 64; t++) {
      const s1 = ((e >>> 6) | (e << 26)) ^ ((e >>> 11) | (e << 21)) ^ ((e >>> 25) | (e << 7));
      const t1 = (h + s1 + ((e & f) ^ (~e & g)) + word(ROUNDS, t) + word(w, t)) | 0;
      const s0 = ((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10));
      const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
      h = g;
      g = f;
      f = e;
      e = (d + t1) | 0;
      d = c;
      c = b;
      b = a;
      a = (t1 + t2) | 0;
    }
    state[0] = (word(state, 0) + a) | 0;
    state[1] = (word(state, 1) + b) | 0;
    state[2] = (word(state, 2) + c) | 0;
    state[3] = (word(state, 3) + d) | 0;
    state[4] = (word(state, 4) + e) | 0;
    state[5] = (word(state, 5) + f) | 0;
    state[6] = (word(state, 6) + g) | 0;
    state[7] = (word(state, 7) + h) | 0;
  }
}

/**
 * @param {Uint8Array} bytes
 * @param {number} at
 */
function byte(bytes, at) {
  return /** @type {number} */ (bytes[at]);
}

/**
 * @param {Int32Array} words
 * @param {number} at
 */
function word(words, at) {
  return /** @type {number} */ (words[at]);
}

/** @param {number} count */
function primes(count) {
  /** @type {number[]} */
  const found = [];
  for (let next = 2; found.length < count; next++) if (found.every((prime) => next % prime)) found.push(next);
  return found;
}

/**
 * The first 32 bits of the fraction.
 *
 * @param {number} value
 */
function fraction(value) {
  return ((value - Math.floor(value)) * 2 ** 32) | 0;
}

const ROUNDS = Int32Array.from(primes(64), (prime) => fraction(Math.cbrt(prime)));

/**
 * @param {string} text
 * @returns {string} its SHA-256, hexadecimal
 */
export function digestOfText(text) {
  return new Sha256().update(new TextEncoder().encode(text)).hex();
}

/**
 * Digests pieces as they come, by the browser's own means where it has them.
 *
 * @returns {{add: (piece: Uint8Array<ArrayBuffer>) => void, hex: () => Promise<string>}}
 */
export function digester() {
  if (!globalThis.crypto?.subtle) {
    const digest = new Sha256();
    return { add: (piece) => void digest.update(piece), hex: async () => digest.hex() };
  }
  /** @type {Uint8Array<ArrayBuffer>[]} */
  const pieces = [];
  return {
    add: (piece) => void pieces.push(piece),
    async hex() {
      const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", joined(pieces)));
      return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
    },
  };
}

/**
 * In one piece. Not by a blob: WebKitGTK lets no worker of a page from a folder read one.
 *
 * @param {Uint8Array<ArrayBuffer>[]} pieces
 * @returns {Uint8Array<ArrayBuffer>}
 */
export function joined(pieces) {
  const [only] = pieces;
  if (only && pieces.length === 1) return only;
  const whole = new Uint8Array(pieces.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}
