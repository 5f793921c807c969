/**
 * What if: one value of the sheet is moved by a slider, and verdict and numbers follow. The sheet itself stays as it is.
 */
import { fieldLabel, setFieldText } from "../sheet/entry.js";
import { readSheet } from "../sheet/form.js";
import { noticeField } from "../sheet/notes.js";
import { rowName } from "../sheet/rows.js";
import { askLatest, dropQuestions } from "./what_if_answer.js";
import { scaleOf, valueAt, withValue } from "./what_if_scale.js";
import { say } from "../shared/words.js";

/**
 * Work the "what if" of a sheet: it opens with the first answer, and starts anew with each.
 * @param {import("../sheet/calculator.js").WorkSheet} sheet
 */
export function openWhatIf(sheet) {
  const part = sheet.section.querySelector("[data-part=what-if]");
  if (!part) return;
  part.hidden = false;
  const state = { sheet, part, read: null, field: null, scale: null };
  const area = sheet.section.querySelector("[data-answer]");
  new MutationObserver(() => begin(state, area)).observe(area, { attributeFilter: ["data-state"] });
  part.addEventListener("toggle", () => begin(state, area));
  choiceIn(part).addEventListener("change", () => take(state, choiceIn(part).value));
  sliderIn(part).addEventListener("input", () => follow(state));
  part.querySelector("[data-what-if-write]").addEventListener("click", () => writeIn(state));
  part
    .querySelector("[data-what-if-back]")
    .addEventListener("click", () => take(state, choiceIn(part).value));
}

/** Offer the values of the sheet as it stands; without an answer there is nothing to start from. */
function begin(state, area) {
  const { part, sheet } = state;
  const isAnswered = area.dataset.state === "answered";
  within(part, "what-if-works").hidden = !isAnswered;
  within(part, "what-if-waits").hidden = isAnswered;
  if (!isAnswered || !part.open) return;
  const before = choiceIn(part).value;
  state.read = readSheet(sheet.section);
  const options = movable(sheet.section, state.read);
  choiceIn(part).replaceChildren(...options.map(({ place, label }) => new Option(label, place)));
  take(state, options.some(({ place }) => place === before) ? before : options[0]?.place);
}

/** Every number that is written on the sheet and counts, by its place on the wire; settings are where they are. */
function movable(section, { inputs, places }) {
  const found = [];
  for (const [place, path] of places) {
    const field = section.querySelector(`[data-input="${CSS.escape(path)}"]`);
    if (!["number", "whole"].includes(field.dataset.kind) || /\]\.half_turns$/.test(place)) continue;
    if (typeof valueAt(inputs, place) !== "number") continue;
    const row = path.includes("].") ? field.closest("[data-row]") : null;
    found.push({ place, label: row ? `${fieldLabel(field)} (${rowName(row)})` : fieldLabel(field) });
  }
  return found.map(({ place, label }, at) => ({ place, label: numbered(label, found.slice(0, at)) }));
}

/** Rows made at one setting are called alike; the second and later ones are numbered. */
function numbered(label, before) {
  const number = before.filter((other) => other.label === label).length + 1;
  return number === 1 ? label : say("page.what-if.nth", { label, number });
}

/** Take a value to be moved, beginning where it stands. */
function take(state, place) {
  if (!place) return;
  const { part, read, sheet } = state;
  state.place = place;
  state.field = sheet.section.querySelector(`[data-input="${CSS.escape(read.places.get(place))}"]`);
  state.scale = scaleOf(state.field, valueAt(read.inputs, place));
  const slider = sliderIn(part);
  Object.assign(slider, { min: state.scale.first, max: state.scale.last, step: 1, value: 0 });
  dropQuestions(part);
  showValue(state);
}

function follow(state) {
  const { part, read, place, scale, sheet } = state;
  const step = Number(sliderIn(part).value);
  showValue(state);
  askLatest(part, sheet.name, withValue(read.inputs, place, scale.wireAt(step)), step);
}

function showValue({ part, scale }) {
  const slider = sliderIn(part);
  const text = scale.textAt(Number(slider.value));
  part.querySelector(".ht-what-if-value").textContent = text;
  slider.setAttribute("aria-valuetext", text);
  for (const name of ["write", "back"])
    part.querySelector(`[data-what-if-${name}]`).disabled = Number(slider.value) === 0;
}

/** Only here does the sheet change, because a person asked for it. */
function writeIn({ part, field, scale, sheet }) {
  const { text, unit } = scale.writtenAt(Number(sliderIn(part).value));
  setFieldText(field, text, unit);
  noticeField(field);
  sheet.changed();
}

function choiceIn(part) {
  return part.querySelector("[data-what-if-choice]");
}

function sliderIn(part) {
  return part.querySelector("[data-what-if-slider]");
}

function within(part, name) {
  return part.querySelector(`[data-part=${name}]`);
}
