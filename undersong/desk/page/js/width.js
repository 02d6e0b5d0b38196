// How wide the drawing is made, in mm, so that its figures can be read where it is shown.

/** Wider pages have more bars a line. About 3 pixels a mm are the least to read a figure. */
export function drawingWidth() {
  const pixels = document.querySelector("#sheet .paper")?.clientWidth || innerWidth;
  if (pixels < 480) return 100;
  return pixels < 560 ? 150 : 190;
}
