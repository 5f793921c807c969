/**
 * One result in its place.
 */
import { shownResult } from "./shown_results.js";

const NOTHING = "\u2013";

/** The name of the result that a place shows, in the answer itself or in a "what if". */
export function resultName(shown) {
  return shown.dataset.field ?? shown.dataset.whatIf;
}

/**
 * Show one result by its rule; the exact value stays beside it for whoever checks.
 * @param {HTMLOutputElement} shown
 * @param {string} calculator
 * @param {unknown} value
 */
export function showResult(shown, calculator, value) {
  clearResult(shown);
  const line = shown.closest(".ht-number");
  if (line) line.hidden = isNothing(value);
  if (value === null || value === undefined) return;
  shown.dataset.value = JSON.stringify(value);
  shown.textContent =
    shownResult(calculator, { ...shown.dataset, field: resultName(shown) }, value) || NOTHING;
}

/** A line that has nothing to say is left out; the cell of a table says it with a dash. */
function isNothing(value) {
  return value === null || value === undefined || (Array.isArray(value) && value.length === 0);
}

export function clearResult(shown) {
  shown.textContent = NOTHING;
  delete shown.dataset.value;
}
