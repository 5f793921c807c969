/**
 * The answer of a "what if": the latest question wins, and nobody waits for one that has been overtaken.
 */
import { clearResults, showResults } from "../answer/results.js";
import { ask, explain } from "../runtime/runtime.js";
import { toldPicture } from "../answer/told_picture.js";
import { told, toldText } from "../units/unit_sentences.js";
import { axisUnits } from "../units/units.js";

const REST_MS = 150; // the picture waits until the hand rests

/** @typedef {{name: string, inputs: object, step: number, turn: number}} Question */
/** @type {WeakMap<HTMLElement, {next: Question | null, isAsking: boolean, rest: number, turn: number}>} */
const lines = new WeakMap();

/**
 * Ask, unless a question is under way already: then this one is next, in place of any that waited.
 * @param {HTMLElement} part
 * @param {string} name
 * @param {object} inputs
 * @param {number} step the slider's step, told beside the answer
 */
export async function askLatest(part, name, inputs, step) {
  const line = lineOf(part);
  line.next = { name, inputs, step, turn: line.turn };
  clearTimeout(line.rest);
  if (line.isAsking) return;
  line.isAsking = true;
  while (line.next) {
    const question = line.next;
    line.next = null;
    await answer(part, line, question).catch(() => {}); // the sheet itself says what is wrong with the runtime
  }
  line.isAsking = false;
}

/** Show nothing any more of what was asked so far: another value is moved now, or the sheet has changed. */
export function dropQuestions(part) {
  const line = lineOf(part);
  clearTimeout(line.rest);
  Object.assign(line, { next: null, rest: 0, turn: line.turn + 1 });
  part.querySelector("[data-part=what-if-answer]").hidden = true;
}

async function answer(part, line, question) {
  const found = await ask(question.name, question.inputs);
  if (question.turn !== line.turn) return;
  const place = part.querySelector("[data-part=what-if-answer]");
  place.hidden = false;
  const refused = part.querySelector("[data-part=what-if-refused]");
  refused.hidden = !found.errors;
  refused.textContent = (found.errors ?? []).map(({ message }) => toldText(message)).join(" ");
  const headline = part.querySelector("output[data-what-if=headline]");
  if (headline) headline.textContent = found.errors ? "" : told(found.headline);
  if (found.errors) clearResults(place);
  else showResults(place, question.name, found);
  const picture = part.querySelector("[data-part=what-if-picture]");
  picture.hidden ||= Boolean(found.errors);
  picture.dataset.behind = "yes"; // the numbers are ahead of it until the hand rests
  if (!found.errors) line.rest = setTimeout(() => draw(part, line, question, found), REST_MS);
  place.dataset.step = String(question.step);
}

/** Draw it without any order; by the time it is there, the hand may have moved on. */
async function draw(part, line, { name, inputs }, found) {
  const place = part.querySelector("[data-part=what-if-picture]");
  const rest = line.rest;
  const leftOut = JSON.parse(part.dataset.leftOut);
  const told = Object.fromEntries(Object.entries(found).filter(([result]) => !leftOut.includes(result)));
  const answered = { name, text: JSON.stringify(inputs), answer: JSON.stringify(told) };
  const { picture } = await explain("picture", answered, axisUnits()).catch(() => ({}));
  const drawn = picture ? toldPicture(picture.svg) : null;
  if (line.rest !== rest || !drawn) return;
  place.replaceChildren(drawn);
  place.hidden = false;
  delete place.dataset.behind;
}

function lineOf(part) {
  if (!lines.has(part)) lines.set(part, { next: null, isAsking: false, rest: 0, turn: 0 });
  return lines.get(part);
}
