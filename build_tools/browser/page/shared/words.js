/** The browser's sentences: they live in the words register; pages without a calculator fetch only their own. */
import { fixed, marked, short } from "./decimal_text.js";
import { scope } from "./place.js";

const files = ["half-turn/words.json"];
// Said at the top of the page: this may run before a calculator further down has come.
if ("asks" in document.documentElement.dataset) files.push("half-turn/sheet_words.json");
if ("visits" in document.documentElement.dataset) files.push("half-turn/visit_words.json");

/** @type {Record<string, string>} */
const words = Object.assign({}, ...(await Promise.all(files.map(fetchWords))));

/**
 * Fetch one file of sentences. With no network and nothing kept, codes stand for them, and the page still works.
 * @param {string} file
 * @returns {Promise<Record<string, string>>}
 */
function fetchWords(file) {
  return fetch(new URL(file, scope))
    .then((answer) => (answer.ok ? answer.json() : {}))
    .catch(() => ({}));
}

/**
 * A sentence with its values: {name}, or {name:.1f} for a number with one decimal.
 * @param {string} code
 * @param {Record<string, string | number>} [values]
 * @returns {string} the sentence; the code itself where there is none, so that the gap can be seen and reported
 */
export function say(code, values = {}) {
  return fill(words[code] ?? code, values);
}

/**
 * Fill the blanks of a sentence.
 * @param {string} sentence
 * @param {Record<string, string | number>} values
 */
export function fill(sentence, values) {
  return sentence.replace(/\{(\w+)(?::\.(\d)f)?\}/g, (whole, name, decimals) => {
    const value = values[name];
    if (value === undefined) return whole;
    if (typeof value !== "number") return String(value);
    return withMark(decimals === undefined ? short(value) : fixed(value, Number(decimals)));
  });
}

/** A number's text as it is read, in the language of the book. */
export function withMark(text) {
  return marked(text, words["decimal-mark"] ?? ".");
}

/**
 * A sentence with its blanks, undefined where the book has none of this code.
 * @param {string} code
 * @returns {string | undefined}
 */
export function template(code) {
  return words[code];
}

/**
 * A date in words, from the form 2026-11-20. The browser's own formatter takes a slow phone a tenth of a second to make.
 * @param {string} date
 */
export function sayDate(date) {
  const [year, month, day] = date.split("-").map(Number);
  const names = say("page.months").split(", ");
  return say("page.date", { year, month: names[month - 1] ?? month, day });
}

/**
 * True where the book has a sentence of this code.
 * @param {string} code
 */
export function isSaid(code) {
  return code in words;
}
