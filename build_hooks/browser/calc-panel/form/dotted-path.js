/**
 * The object or list that holds the last name of a dotted path; whatever is missing on the way is made.
 *
 * @param {Record<string, any>} root
 * @param {string} path names joined by dots; digits are places in a list
 * @returns {[Record<string, any>, string]} the holder and the last name
 */
export function holderOf(root, path) {
  const names = path.split(".");
  const last = names.pop() ?? "";
  let holder = root;
  names.forEach((name, at) => {
    const next = names[at + 1] ?? last;
    holder[name] ??= isPlace(next) ? [] : {};
    holder = holder[name];
  });
  return [holder, last];
}

/**
 * @param {Record<string, any>} root
 * @param {string} path
 * @returns {unknown} undefined when there is none
 */
export function valueAt(root, path) {
  return path.split(".").reduce((/** @type {any} */ holder, name) => holder?.[name], root);
}

/** @param {string} name */
export function isPlace(name) {
  return /^\d+$/.test(name);
}
