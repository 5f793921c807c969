/**
 * A drawn lip that folds in a time that is known to the millisecond: its edge reaches the stop mark just then.
 *
 * It folds in 4 to 7 s, so that its edge crosses the eye about as quickly as that of a real lip seen from two meters.
 */
const SHORTEST_MS = 4000;
const LONGEST_MS = 7000;
const FOLD_DEGREES = 90;

/** How long the next fold takes, in ms: never twice the same, so that nobody learns a rhythm. */
export function anyFold() {
  return SHORTEST_MS + Math.random() * (LONGEST_MS - SHORTEST_MS);
}

/** Hold the lip out, in line with the platform. @param {SVGElement} drawing */
export function raise(drawing) {
  turn(drawing, 0);
}

/**
 * Let the lip fold.
 * @param {SVGElement} drawing
 * @param {number} begunAt on the page's clock, ms
 * @param {number} lasts ms
 * @returns {() => void} stops drawing
 */
export function fold(drawing, begunAt, lasts) {
  let going = true;
  const draw = () => {
    if (!going) return;
    const done = Math.min(1, Math.max(0, (performance.now() - begunAt) / lasts));
    turn(drawing, done * FOLD_DEGREES);
    if (done < 1) requestAnimationFrame(draw);
  };
  draw();
  return () => {
    going = false;
  };
}

function turn(drawing, degrees) {
  const lip = drawing.querySelector("[data-lip]");
  lip.setAttribute("transform", `rotate(${degrees} ${lip.dataset.lip})`);
}
