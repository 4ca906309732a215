/**
 * The path of a file in the manual that an address means.
 *
 * @param {string} root address of the manual's root, with a slash at its end
 * @param {string} address
 * @returns {string | null} null when it is outside the manual
 */
export function pathIn(root, address) {
  const { origin, pathname } = new URL(address);
  const within = `${origin}${pathname}`;
  if (!within.startsWith(root)) return null;
  try {
    const path = decodeURIComponent(within.slice(root.length));
    return path === "" || path.endsWith("/") ? `${path}index.html` : path;
  } catch {
    return null; // No file has a name that cannot be read.
  }
}
