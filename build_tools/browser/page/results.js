/**
 * The results of an answer as a person reads them: one line each, lists as tables, a text as a file to save.
 */
import { clearTables, showTables } from "./result_table.js";
import { shownResult } from "./shown_results.js";
import { clearTextFiles, showTextFiles } from "./text_file.js";

const NOTHING = "\u2013";

/**
 * Show every result that has a place in the answer area.
 * @param {HTMLElement} section
 * @param {object} answer what the calculator gave
 */
export function showResults(section, answer) {
  for (const shown of lines(section)) showResult(section, shown, answer[shown.dataset.field]);
  showTables(section, answer, showResult);
  showTextFiles(section, answer);
}

/** Take every result off the page. */
export function clearResults(section) {
  clearTables(section);
  clearTextFiles(section);
  for (const shown of lines(section)) {
    shown.textContent = NOTHING;
    delete shown.dataset.value;
  }
}

/**
 * Show one result by its rule; the exact value stays beside it for whoever checks.
 * @param {HTMLElement} section
 * @param {HTMLOutputElement} shown
 * @param {unknown} value
 */
export function showResult(section, shown, value) {
  const known = value !== null && value !== undefined;
  if (known) shown.dataset.value = JSON.stringify(value);
  shown.textContent = known ? shownResult(section.dataset.calculator, shown.dataset, value) || NOTHING : NOTHING;
}

function lines(section) {
  return section.querySelectorAll("[data-answer] dl output[data-show]");
}
