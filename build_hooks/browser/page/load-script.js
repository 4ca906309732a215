/**
 * @param {string} url
 * @param {string} [integrity] what the browser is to find in it
 * @returns {Promise<void>}
 */
export function loadScript(url, integrity = "") {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.integrity = integrity;
    script.src = url;
    script.onload = () => (script.remove(), resolve());
    script.onerror = () => (script.remove(), reject(new Error(`could not load ${url}`)));
    document.head.append(script);
  });
}
