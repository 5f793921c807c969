/**
 * The picture and the working of an answer: asked for when the answer is shown, so that no answer waits for them.
 */
import { explain } from "../runtime/runtime.js";
import { toldPicture } from "./told_picture.js";
import { axisUnits } from "../units/units.js";
import { say } from "../shared/words.js";

/**
 * Fill in picture and working, one after the other, as long as they belong to what is shown.
 * @param {HTMLElement} section
 * @param {{name: string, text: string, answer: string}} answered as `explain` takes it
 * @param {() => boolean} isShown whether that answer still stands
 */
export async function showExplanation(section, answered, isShown) {
  for (const [what, show] of [
    ["picture", showPicture],
    ["working", showWorking],
  ]) {
    const found = await explain(what, answered, axisUnits()).catch(() => ({
      fault: say("page.explanation.none"),
    }));
    if (!isShown()) return;
    if (found.fault) showFault(section, found.fault);
    else show(section, found);
  }
}

/** Take picture and working off the page. */
export function clearExplanation(section) {
  const figure = place(section, "picture");
  figure?.replaceChildren();
  if (figure) figure.hidden = true;
  list(section).replaceChildren();
  place(section, "explanation-fault").hidden = true;
}

function showPicture(section, { picture }) {
  const figure = place(section, "picture");
  if (!figure || !picture) return;
  const drawn = toldPicture(picture.svg);
  if (!drawn) return showFault(section, say("page.explanation.none"));
  figure.replaceChildren(drawn);
  figure.hidden = false;
}

function showWorking(section, { lines }) {
  list(section).replaceChildren(
    ...lines.map((text) => {
      const line = document.createElement("li");
      line.textContent = text;
      return line;
    }),
  );
}

function showFault(section, text) {
  const line = place(section, "explanation-fault");
  line.textContent = text;
  line.hidden = false;
}

function place(section, name) {
  return section.querySelector(`[data-answer] [data-part=${name}]`);
}

function list(section) {
  return section.querySelector("[data-answer] [data-list=working]");
}
