/**
 * The leveler in hand's own value of a figure, beside the book's general one; hazards stay as they are written.
 */
import { say } from "../shared/words.js";

/** @param {import("./leveler_figures.js").Leveler | null} leveler */
export function showOwnFigures(leveler) {
  for (const shown of document.querySelectorAll("[data-own-figure]")) shown.remove();
  for (const [id, { text, where }] of Object.entries(leveler?.own ?? {})) {
    for (const figure of document.querySelectorAll(`[data-figure="${id}"]:not([data-hazard] *)`)) {
      const own = document.createElement("strong");
      own.dataset.ownFigure = id;
      own.textContent = ` ${say("page.own-figure", { leveler: leveler.name, figure: text, where })}`;
      figure.after(own);
    }
  }
}
