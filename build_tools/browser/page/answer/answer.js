/**
 * The answer area of a work sheet: filled from what the calculator gave, emptied as soon as the sheet changes.
 */
import { actionText, firstText } from "./action.js";
import { clearExplanation } from "./explanation.js";
import { showQuestion } from "./question.js";
import { clearResults, showResults } from "./results.js";
import { told } from "../units/unit_sentences.js";
import { say } from "../shared/words.js";

const MOST_NAMED = 3;

/** Show a calculator's answer: the sentence, the cautions that the action needs, the action, why, the numbers. */
export function showAnswer(section, answer) {
  const area = emptied(section, "answered");
  output(area, "headline").textContent = told(answer.headline);
  for (const what of ["turning", "cycling"]) showBefore(area, what, answer[`before_${what}`] ?? []);
  write(area, "first", firstText(answer));
  write(area, "do", actionText(section.dataset.calculator, answer));
  showLead(section, area, answer.headline.code);
  showQuestion(section, answer.question);
  showReasons(area, answer.reasons ?? []);
  showResults(area, section.dataset.calculator, answer);
}

/** Leave the action blank and say what the sheet still needs. */
export function showMissing(section, labels) {
  const area = emptied(section, "missing");
  const named = labels.slice(0, MOST_NAMED).join("; ");
  const more = labels.length - MOST_NAMED;
  write(
    area,
    "missing",
    more > 0
      ? say("page.missing.more", { fields: named, count: more })
      : say("page.missing", { fields: named }),
  );
}

/** Leave the action blank with one sentence: still typing, starting, or something to put right first. */
export function showWaiting(section, state, text) {
  write(emptied(section, state), "missing", text);
}

/** A fault of ours: a short code to report, and the trace behind a button. */
export function showFault(section, fault) {
  const area = emptied(section, "fault");
  const place = part(area, "fault");
  place.hidden = false;
  const code = fault.code === "fault" ? "page.fault" : "page.fault.no-answer";
  place.querySelector("[data-fault-text]").textContent = say(code, { report: fault.report });
  const button = place.querySelector("[data-act=copy-report]");
  button.hidden = !fault.trace;
  button.onclick = () => copyReport(button, fault);
}

/** Show all cautions or none, where no answer says which are needed. */
export function showAllCautions(section, shown) {
  for (const before of section.querySelectorAll("[data-before]")) before.hidden = !shown;
}

async function copyReport(button, fault) {
  try {
    await navigator.clipboard.writeText(`${fault.report}\n${fault.trace}`);
    button.textContent = say("page.fault.copied");
  } catch {
    button.textContent = say("page.fault.not-copied");
  }
}

/** Nothing of an earlier answer may stand beside a changed sheet. */
function emptied(section, state) {
  const area = section.querySelector("[data-answer]");
  area.dataset.state = state;
  output(area, "headline").textContent = "";
  for (const name of ["first", "do", "lead", "missing"]) write(area, name, "");
  part(area, "fault").hidden = true;
  part(area, "reasons").hidden = true;
  showQuestion(section, null);
  clearResults(area);
  clearExplanation(section);
  for (const shown of area.querySelectorAll("output[data-value]")) delete shown.dataset.value;
  showAllCautions(section, false);
  return area;
}

/** Where the book has a page for what comes next, the answer leads there in one tap. */
function showLead(section, area, code) {
  const lead = JSON.parse(section.dataset.leads ?? "{}")[code];
  const place = part(area, "lead");
  place.hidden = !lead;
  if (!lead) return;
  const link = document.createElement("a");
  [link.href, link.textContent] = lead;
  place.append(`${say("page.lead")} `, link);
}

function showBefore(area, what, hazards) {
  const before = area.querySelector(`[data-before=${what}]`);
  if (!before) return; // a calculator that can order neither turn nor cycle
  before.hidden = hazards.length === 0;
  output(area, `before_${what}`).dataset.value = JSON.stringify(hazards);
  for (const hazard of before.querySelectorAll("[data-hazard]"))
    hazard.hidden = !hazards.includes(hazard.dataset.hazard);
}

function showReasons(area, reasons) {
  part(area, "reasons").hidden = reasons.length === 0;
  area
    .querySelector("[data-list=reasons]")
    .replaceChildren(...reasons.map((reason) => withText("li", told(reason))));
}

function output(area, field) {
  return area.querySelector(`output[data-field="${field}"]`);
}

function part(area, name) {
  return area.querySelector(`[data-part=${name}]`);
}

/** Write a sentence where the sheet has a place for it. */
function write(area, name, text) {
  const place = part(area, name);
  if (!place) return;
  place.textContent = text;
  place.hidden = text === "";
}

function withText(tag, text) {
  const element = document.createElement(tag);
  element.textContent = text;
  return element;
}
