/**
 * Sentences that hold for one way of doing a thing: those of the leveler in hand stand alone, the others are one tap away.
 * Hazards, and what stops a job, never depend on it.
 */
import { say } from "../shared/words.js";

/** Other ways are left out of sight by a class that paper takes no notice of. */
const ANOTHER = "ht-another-way";
let all = false;

/** @param {import("./leveler_figures.js").Leveler | null} leveler */
export function showWays(leveler) {
  const line = document.querySelector("[data-ways]");
  if (!line) return;
  line.dataset.untold ??= line.textContent;
  const known = leveler?.ways ?? {};
  let left = 0;
  for (const part of document.querySelectorAll("[data-way]")) {
    const isAnother = (known[part.dataset.wayOf] ?? part.dataset.way) !== part.dataset.way;
    wholeOf(part).classList.toggle(ANOTHER, isAnother && !all);
    left += Number(isAnother);
  }
  line.textContent = left ? say("page.ways.shown", { leveler: leveler.name }) : line.dataset.untold;
  if (left) line.append(" ", button(leveler));
}

/** A list item that is nothing but one way goes whole, so that no bare bullet is left. */
function wholeOf(part) {
  const item = part.parentElement;
  return item.tagName === "LI" && item.textContent.trim() === part.textContent.trim() ? item : part;
}

function button(leveler) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = say(all ? "page.ways.only" : "page.ways.all");
  made.addEventListener("click", () => {
    all = !all;
    showWays(leveler);
  });
  return made;
}
