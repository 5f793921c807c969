/**
 * The one control of a sheet that says in which units it is written and answered.
 */
import { showInUnits } from "../sheet/entry.js";
import { chooseSystem, chosenSystem, ofSystem, onSystem } from "./units.js";

/**
 * Work the control of a sheet, where it has one.
 * @param {import("../sheet/calculator.js").WorkSheet} sheet
 */
export function openUnits({ section, changed }) {
  const control = section.querySelector(".ht-units");
  if (!control) return;
  control.hidden = false;
  control.addEventListener("click", (event) => {
    const button = event.target.closest("[data-units-choice]");
    if (button) chooseSystem(button.dataset.unitsChoice);
  });
  showUnits(section);
  onSystem(() => {
    showUnits(section);
    section.querySelector("[data-answer]").dataset.state = "units"; // the same answer is to be told anew
    changed();
  });
}

/** Tell everything on the sheet in the chosen units; what was written stays what it was. */
function showUnits(section) {
  for (const part of section.querySelectorAll("[data-by-units]"))
    part.textContent = ofSystem(part.dataset.byUnits);
  for (const field of section.querySelectorAll("[data-input][data-units]")) showInUnits(field);
  for (const button of section.querySelectorAll("[data-units-choice]")) {
    button.setAttribute("aria-pressed", String(button.dataset.unitsChoice === chosenSystem()));
  }
}
