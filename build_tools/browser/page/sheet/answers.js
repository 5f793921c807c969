/**
 * What was answered to a calculator's questions: kept with the row that was asked about, or with the whole sheet.
 */

/** Answers that take a run out of the mean: somebody knows what went wrong with it. */
const TAKE_OUT = ["mistimed", "touched"];

/** The answers on a row or a sheet, by question. @returns {Record<string, string>} */
export function answersOn(element) {
  return JSON.parse(element.dataset.answered || "{}");
}

/** @param {HTMLElement} element a row or a sheet @param {Record<string, string>} [answers] */
export function setAnswers(element, answers = {}) {
  if (Object.keys(answers).length) element.dataset.answered = JSON.stringify(answers);
  else delete element.dataset.answered;
}

/** Whether these answers take their run out of the mean. */
export function takesOut(answers = {}) {
  return Object.values(answers).some((answer) => TAKE_OUT.includes(answer));
}
