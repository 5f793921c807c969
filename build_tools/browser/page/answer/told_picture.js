/**
 * A picture in the units that a reader has chosen: the calculators write the numbers along its axes, this its sentences.
 */
import { parsedPicture } from "./parsed_picture.js";
import { toldText } from "../units/unit_sentences.js";

/**
 * @param {string} svg
 * @returns {SVGElement | null} null where it is none
 */
export function toldPicture(svg) {
  const picture = parsedPicture(svg);
  for (const text of picture?.querySelectorAll("text") ?? []) text.textContent = toldText(text.textContent);
  picture?.setAttribute("aria-label", toldText(picture.getAttribute("aria-label")));
  return picture;
}
