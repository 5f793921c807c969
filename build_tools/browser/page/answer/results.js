/**
 * The results of an answer as a person reads them: one line each, lists as tables, a text as a file to save.
 */
import { clearResult, resultName, showResult } from "./result_line.js";
import { clearTables, showTables } from "./result_table.js";
import { clearTextFiles, showTextFiles } from "./text_file.js";

/**
 * Show every result that has a place.
 * @param {HTMLElement} root the answer area, or another part that shows results
 * @param {string} calculator
 * @param {object} answer what the calculator gave
 */
export function showResults(root, calculator, answer) {
  for (const shown of lines(root)) showResult(shown, calculator, answer[resultName(shown)]);
  showTables(root, calculator, answer);
  showTextFiles(root, answer);
}

/** Take every result off the page. */
export function clearResults(root) {
  clearTables(root);
  clearTextFiles(root);
  for (const shown of lines(root)) clearResult(shown);
}

function lines(root) {
  return root.querySelectorAll("dl output[data-show]");
}
