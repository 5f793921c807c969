/**
 * A question that stands before an answer: its choices as buttons. What is put right by hand is only shown where.
 */
import { answersOn, setAnswers } from "../sheet/answers.js";
import { readSheet } from "../sheet/form.js";
import { say } from "../shared/words.js";

/** Choices that put the sheet right: the question then falls away of itself. */
const PUT_RIGHT = ["mistyped", "turned", "other-way"];

/**
 * Show a question's choices, or none.
 * @param {HTMLElement} section
 * @param {{code: string, choices: string[], field: string} | null | undefined} question
 */
export function showQuestion(section, question) {
  const place = section.querySelector("[data-part=question]");
  if (!place) return;
  place.hidden = !question;
  section.toggleAttribute("data-asks", Boolean(question));
  place.replaceChildren(...(question?.choices ?? []).map((choice) => button(section, question, choice)));
}

function button(section, question, choice) {
  const element = document.createElement("button");
  element.type = "button";
  element.textContent = say(`${question.code}.${choice}`);
  element.dataset.choice = choice;
  element.onclick = () => answer(section, question, choice);
  return element;
}

function answer(section, question, choice) {
  const path = readSheet(section).places.get(question.field);
  const field = path ? section.querySelector(`[data-input="${path}"]`) : null;
  if (PUT_RIGHT.includes(choice)) {
    field?.closest("[data-row]")?.querySelector("input")?.focus();
    return;
  }
  const holder = field?.closest("[data-row]") ?? section;
  setAnswers(holder, { ...answersOn(holder), [question.code.replace("question.", "")]: choice });
  section.dispatchEvent(new Event("answered"));
}
