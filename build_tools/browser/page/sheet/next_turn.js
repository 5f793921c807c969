/**
 * The steps below a sheet are done again for each half turn, so their ticks clear when the plan orders the next one.
 */
import { keep, kept } from "../shared/kept.js";
import { presentSetting } from "./rows.js";

/**
 * An order at a setting for which none stood yet clears the ticks below the sheet; the same order never does it twice.
 * @param {import("./calculator.js").WorkSheet} sheet
 * @param {{do_now?: number}} answer what the calculator gave
 */
export function clearStepsForTurn({ section, name }, answer) {
  if (!answer.do_now) return;
  const key = `turn-ordered:${name}`;
  const setting = presentSetting(section.querySelector("[data-rows]"));
  if (kept(key) === setting) return;
  keep(key, setting);
  for (const box of document.querySelectorAll("ol.steps > li[data-step] input[type=checkbox]:checked"))
    if (section.compareDocumentPosition(box) & Node.DOCUMENT_POSITION_FOLLOWING) box.click();
}
