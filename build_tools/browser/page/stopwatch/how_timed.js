/**
 * How the runs of a sheet were started and stopped: each run that the stopwatch timed knows its own start, runs that
 * were written in share one, and all runs share one stop. A visit that was taken from another sheet knows both.
 */
import { withOwnHabit } from "./own_habit.js";
import { say } from "../shared/words.js";

/**
 * @typedef {object} Start
 * @property {string} [started] countdown, helper or by-hand
 * @property {string} [stopped] sharp or no-longer-moves, where it is not that of the whole sheet
 * @property {string} [tone] "untold" where the browser did not say how late its sound comes out
 */

const DELAY = "output-delay";

/** Write down how a run was started. @param {HTMLElement} row @param {Start} start */
export function setStart(row, { started, stopped, tone } = {}) {
  set(row, "started", started);
  set(row, "stopped", stopped);
  set(row, "tone", tone);
  const line = row.querySelector("[data-how]") ?? lineIn(row);
  line.textContent = startText(row.dataset);
  line.hidden = !started;
}

/** How a run was started, as it is kept. @returns {Start} */
export function startOf(row) {
  const { started, stopped, tone } = row.dataset;
  return { ...(started && { started }), ...(stopped && { stopped }), ...(tone && { tone }) };
}

/** How a run was started, in words; "" where it was written in. @param {Start} start */
export function startText({ started, stopped, tone }) {
  if (!started) return "";
  const said = [`page.started.${started}`];
  if (tone) said.push("page.started.untold");
  if (stopped) said.push(`page.stopped.${stopped}`);
  return said.map((code) => say(code)).join(" ");
}

/** How one run was started, for the calculator: what was written in counts as by hand unless the sheet says otherwise. */
export function wireStart(section, row) {
  return row.dataset.started ?? section.dataset.typed;
}

/** Fill in what the registers give with what the sheet knows of its own timing. */
export function completed(section, given) {
  const found = { ...given };
  if (section.dataset.stopped && "stopped" in found) found.stopped = section.dataset.stopped;
  if (found.timing) {
    const rows = withOwnHabit(section, found.timing);
    found.timing = delayIsUntold(section) ? rows : rows.filter(({ way }) => way !== DELAY);
  }
  return found;
}

/** The choices for the whole sheet, kept with it; what was not chosen is left out. */
export function timedState({ dataset: { typed, stopped, dropped } }) {
  return { ...(typed && { typed }), ...(stopped && { stopped }), ...(dropped && { dropped }) };
}

export function restoreTimed(section, state = {}) {
  for (const name of ["typed", "stopped", "dropped"]) set(section, name, state[name]);
  for (const choice of section.querySelectorAll("[data-timed]"))
    choice.value = section.dataset[choice.dataset.timed] ?? choice.options[0].value;
}

/** Let the sheet's own choices be made. */
export function openHowTimed({ section, changed }) {
  const part = section.querySelector("[data-how-timed]");
  if (!part) return;
  part.hidden = false;
  part.addEventListener("change", ({ target }) => {
    set(section, target.dataset.timed, target.value);
    changed();
  });
}

function delayIsUntold(section) {
  if (section.dataset.typed === "countdown") return true;
  return section.querySelector("[data-row][data-tone=untold]:not([data-struck])") !== null;
}

function lineIn(row) {
  const line = document.createElement("p");
  line.className = "ht-started";
  line.dataset.how = "";
  row.querySelector("[data-why]").before(line);
  return line;
}

function set(element, name, value) {
  if (value) element.dataset[name] = value;
  else delete element.dataset[name];
}
