/** The words of a picture that is shown large. */

export const TEXTS = {
  smaller: "Smaller",
  larger: "Larger",
  close: "Close",
  room: "The picture; the arrow keys move it",
};
