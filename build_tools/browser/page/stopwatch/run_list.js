/**
 * The runs on the sheet as the stopwatch lists them: each with how it was started and its own way to strike it out.
 */
import { runRows } from "./recorded_runs.js";
import { isStruck, putBack, rowName, strikeOut } from "../sheet/rows.js";
import { say, withMark } from "../shared/words.js";

/** @param {import("../sheet/calculator.js").WorkSheet} sheet */
export function showRuns(sheet) {
  const dialog = sheet.section.querySelector("dialog[data-stopwatch]");
  const list = dialog.querySelector("[data-stopwatch-runs]");
  list.replaceChildren(...runRows(sheet).map((run) => item(sheet, run)));
  const dropped = Number(sheet.section.dataset.dropped ?? 0);
  const line = dialog.querySelector("[data-dropped-line]");
  line.hidden = dropped === 0;
  line.textContent = say("page.stopwatch.dropped", { count: dropped });
}

function item(sheet, { row, text, start }) {
  const made = document.createElement("li");
  const run = say("page.stopwatch.run", { seconds: withMark(text) || say("page.stopwatch.no-time") });
  const how = Object.assign(document.createElement("small"), { textContent: start });
  made.append(run, ...(start ? [how] : []), button(sheet, row, run));
  made.toggleAttribute("data-struck", isStruck(row));
  return made;
}

function button(sheet, row, run) {
  const made = document.createElement("button");
  made.type = "button";
  made.textContent = say(isStruck(row) ? "page.put-back" : "page.strike-out");
  made.setAttribute("aria-label", `${made.textContent}: ${rowName(row)}, ${run}`);
  made.addEventListener("click", () => {
    if (isStruck(row)) putBack(row);
    else strikeOut(row);
    sheet.changed();
    showRuns(sheet);
  });
  return made;
}
