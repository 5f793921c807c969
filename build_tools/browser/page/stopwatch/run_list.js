/**
 * The runs as the stopwatch lists them: each with how it was started and its own way to strike it out.
 */
import { say, withMark } from "../shared/words.js";

/**
 * @param {HTMLDialogElement} dialog
 * @param {import("./stopwatch.js").Runs} runs
 */
export function showRuns(dialog, runs) {
  const list = dialog.querySelector("[data-stopwatch-runs]");
  list.replaceChildren(...runs.all().map((run) => item(run, () => showRuns(dialog, runs))));
  const line = dialog.querySelector("[data-dropped-line]");
  line.hidden = runs.dropped() === 0;
  line.textContent = say("page.stopwatch.dropped", { count: runs.dropped() });
}

function item({ name, text, start, isStruck, turn }, renew) {
  const made = document.createElement("li");
  const run = say("page.stopwatch.run", { seconds: withMark(text) || say("page.stopwatch.no-time") });
  const how = Object.assign(document.createElement("small"), { textContent: start });
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = say(isStruck ? "page.put-back" : "page.strike-out");
  button.setAttribute("aria-label", `${button.textContent}: ${name}, ${run}`);
  button.addEventListener("click", async () => {
    await turn();
    renew();
  });
  made.append(run, ...(start ? [how] : []), button);
  made.toggleAttribute("data-struck", isStruck);
  return made;
}
