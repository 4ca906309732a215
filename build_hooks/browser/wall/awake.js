// Keeps the screen on. Where the browser does not let a page ask for that, a picture that moves is played: most screens
// stay on for one. No browser promises it, so the page also advises to set the screen itself.

const SAID = "set TV to stay on";

/**
 * @param {HTMLElement | null} place where that is shown
 */
export function keepAwake(place) {
  const lock = navigator.wakeLock;
  if (!lock) {
    instead(place);
    return;
  }
  const ask = () => {
    if (document.visibilityState !== "visible") return;
    lock.request("screen").then(
      () => { if (place) place.textContent = ""; },
      () => instead(place),
    );
  };
  // A lock is lost when the page is hidden, and some browsers want a touch first.
  document.addEventListener("visibilitychange", ask);
  document.addEventListener("pointerdown", ask, { once: true });
  ask();
}

/**
 * @param {HTMLElement | null} place
 */
function instead(place) {
  if (place) place.textContent = SAID;
  if (document.querySelector(".wall-moving")) return;
  const film = movingPicture();
  if (!film) return;
  document.body.append(film);
  const play = () => void film.play().catch(() => {});
  // Some browsers play nothing before a key or a touch.
  for (const sign of ["keydown", "pointerdown", "visibilitychange"]) document.addEventListener(sign, play);
  play();
}

/** @returns {HTMLVideoElement | null} a picture of two colours that nobody sees, or nothing where none can be made */
function movingPicture() {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = 16;
  const pen = canvas.getContext("2d");
  if (!pen || !canvas.captureStream) return null;
  let even = false;
  const draw = () => {
    even = !even;
    pen.fillStyle = even ? "#16181a" : "#17191b";
    pen.fillRect(0, 0, 16, 16);
  };
  draw();
  window.setInterval(draw, 1000);
  const film = document.createElement("video");
  film.className = "wall-moving";
  film.muted = true;
  film.playsInline = true;
  film.setAttribute("aria-hidden", "true");
  film.srcObject = canvas.captureStream(1);
  return film;
}
