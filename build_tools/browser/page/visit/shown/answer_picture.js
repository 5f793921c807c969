/** The picture of a calculator's answer, drawn by the calculator and in the reader's units. */
import { toldPicture } from "../../answer/told_picture.js";
import { explain } from "../../runtime/runtime.js";
import { axisUnits } from "../../units/units.js";

/**
 * Put the picture of an answer in its place when it is drawn; the answer waits for nothing.
 * @param {HTMLElement} place stays hidden where there is none
 * @param {{name: string, inputs: object}} asked
 * @param {object} answer
 */
export async function drawAnswer(place, { name, inputs }, answer) {
  const answered = { name, text: JSON.stringify(inputs), answer: JSON.stringify(answer) };
  const found = await explain("picture", answered, axisUnits()).catch(() => null);
  const picture = found?.picture && toldPicture(found.picture.svg);
  if (!picture) return;
  place.replaceChildren(picture);
  place.hidden = false;
}
