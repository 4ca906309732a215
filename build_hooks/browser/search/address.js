/**
 * The address of a find, as a link of this copy of the manual. From a folder nothing opens the page of a folder by itself.
 *
 * @param {string} url from the root of the site; a folder ends with a slash
 * @param {string} root address of the site's root
 */
export function addressOf(url, root) {
  const [path = "", ...anchor] = url.split("#");
  const isFolder = path === "" || path.endsWith("/");
  const file = root.startsWith("file:") && isFolder ? `${path}index.html` : path;
  return root + encodeURI(file) + (anchor.length ? `#${encodeURIComponent(anchor.join("#"))}` : "");
}
