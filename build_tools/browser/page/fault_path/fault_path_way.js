/** The way through a fault path: what an address says was answered, and where that leads in the table. */
import { decoded } from "../shared/decoded.js";

const START = "#answered/";

/**
 * The answers that an address holds; undefined where it holds none.
 * @param {string} hash
 * @returns {string[] | undefined}
 */
export function answersIn(hash) {
  return hash.startsWith(START) ? decoded(hash.slice(START.length)).split("/").filter(Boolean) : undefined;
}

/**
 * The address of a way: "" holds question 1, and leaves the page's own address.
 * @param {string[]} answers
 */
export function fragmentOf(answers) {
  return answers.length
    ? START + answers.map(encodeURIComponent).join("/")
    : location.pathname + location.search;
}

/**
 * @typedef {object} Way
 * @property {HTMLElement[]} taken the rows of the answers, in order
 * @property {HTMLElement} question the table part of the question that comes next, or of the last one answered
 * @property {HTMLElement | undefined} end the row of the answer that ended the path
 *
 * Follow answers from question 1 as far as the table knows them: a link may come from another edition.
 * @param {HTMLElement} section
 * @param {string[]} answers
 * @returns {Way}
 */
export function walk(section, answers) {
  const questions = /** @type {HTMLElement[]} */ ([...section.querySelectorAll("[data-question]")]);
  let question = questions[0];
  const taken = [];
  for (const answer of answers) {
    const row = rowsOf(question).find((each) => each.dataset.answer === answer);
    if (!row) break;
    taken.push(row);
    if (row.dataset.end) return { taken, question, end: row };
    question = questions.find((each) => each.dataset.question === row.dataset.go) ?? question;
  }
  return { taken, question, end: undefined };
}

/**
 * The answers of a question.
 * @param {HTMLElement} question
 * @returns {HTMLElement[]}
 */
export function rowsOf(question) {
  return [...question.querySelectorAll("[data-answer]")].filter((row) => row instanceof HTMLElement);
}
