/** Ticks beside the steps of a procedure: kept by page and step until they are cleared. */
import { forget, keep, kept } from "./kept.js";
import { pagePath } from "./place.js";
import { say } from "./words.js";

const NAME = `ticks/${pagePath}`;

/** Give the ticks of this page back, and keep each change. */
export function startTicks() {
  const boxes = /** @type {HTMLInputElement[]} */ ([
    ...document.querySelectorAll("ol.steps > li[data-step] input[type=checkbox]"),
  ]);
  if (!boxes.length) return;
  const ticked = new Set(kept(NAME) ?? []);
  for (const box of boxes) {
    box.checked = ticked.has(stepOf(box));
    box.addEventListener("change", () => {
      const now = boxes.filter((each) => each.checked).map(stepOf);
      if (now.length) keep(NAME, now);
      else forget(NAME);
      clear.hidden = now.length === 0;
    });
  }
  const clear = clearButton(boxes);
  clear.hidden = ticked.size === 0;
}

/** @param {HTMLInputElement} box */
const stepOf = (box) => box.closest("[data-step]")?.getAttribute("data-step");

/** @param {HTMLInputElement[]} boxes */
function clearButton(boxes) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "ht-button";
  button.textContent = say("page.steps.clear");
  button.addEventListener("click", () => {
    for (const box of boxes) box.checked = false;
    forget(NAME);
    button.hidden = true;
  });
  boxes.at(-1)?.closest("ol.steps")?.after(button);
  return button;
}
