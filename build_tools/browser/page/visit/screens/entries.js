/**
 * What a step asks for, entered in the step: a tap where there is a choice, the right keypad and two large buttons for a
 * number. What is typed is kept at once, in the unit in which it was typed.
 */
import { inUnit, readNumber, SHOWN_DIGITS } from "../../sheet/entry.js";
import { button } from "../shown/frame.js";
import { sentence } from "../shown/shown.js";
import { plain } from "../../shared/decimal_text.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";
import { fromWire, shownUnit, toWire } from "../../units/units.js";

/**
 * @typedef {object} Entry as Python asks for it
 * @property {string} ask its name in the act
 * @property {boolean} [optional]
 * @property {import("../shown/shown.js").Sentence | string} label
 * @property {"choice" | "whole" | "length" | "number" | "text" | "flag"} kind
 * @property {string} [unit] on the wire
 * @property {{value: any, text: import("../shown/shown.js").Sentence | string}[]} [choices]
 * @property {any} value what stands there already, null where nothing does
 * @property {import("../shown/shown.js").Sentence | string} [from] why it stands there
 *
 * @typedef {object} Field an entry on the screen
 * @property {Entry} entry
 * @property {string} key
 * @property {HTMLElement} element
 * @property {() => any} value undefined where nothing is entered
 * @property {() => any} kept what is kept of it while it is not entered yet
 * @property {(text: string) => void} refuse say what is wrong with it, or "" for nothing
 * @property {() => boolean} isRefused
 * @property {() => void} focus
 */

/** The unit of a count: none is shown. */
const PLAIN = "1";
const WRITTEN = { whole: "numeric", length: "decimal", number: "decimal" };

/** The entry that says by one tap all that a screen asks for, null where more is needed; the rest may be left out. @param {Entry[]} entries */
export function oneTapOf(entries) {
  const [only, ...more] = entries.filter(({ optional }) => !optional);
  const isTapped = only?.kind === "choice" || only?.kind === "flag";
  return isTapped && only.value === null && !more.length ? only : null;
}

/**
 * An entry as it stands on the screen.
 * @param {Entry} entry
 * @param {any} kept what was typed here before and not entered
 * @param {(field: Field) => void} changed
 * @returns {Field}
 */
export function fieldOf(entry, kept, changed) {
  const made = entry.kind === "choice" || entry.kind === "flag" ? chosen : written;
  const id = `ht-visit-${entry.ask.replace(/\W+/g, "-")}`;
  const error = element("p", { id: `${id}-error`, className: "ht-visit-error", hidden: true });
  /** @type {any} */
  const field = { entry, key: entry.ask };
  const { parts, ...rest } = made(entry, kept, id, () => {
    field.refuse("");
    changed(field);
  });
  const from = entry.from ? element("p", { className: "ht-visit-from" }, sentence(entry.from)) : null;
  Object.assign(field, rest, {
    element: element(
      "div",
      { className: "ht-visit-entry", dataset: { ask: entry.ask } },
      ...parts,
      from,
      error,
    ),
    refuse: (text) => {
      error.textContent = text;
      error.hidden = !text;
    },
    isRefused: () => !error.hidden,
    focus: () => field.element.querySelector("input, button").focus(),
  });
  return field;
}

/** One of a few: each its own button. */
function chosen(entry, kept, id, changed) {
  const choices = entry.choices?.length
    ? entry.choices
    : [true, false].map((value) => ({ value, text: say(`page.flag.${value}`) }));
  let taken = kept ?? entry.value ?? undefined;
  const label = element("p", { id, className: "ht-visit-label" }, sentence(entry.label));
  const buttons = choices.map((choice) =>
    button(choiceText(choice), () => take(choice.value), { className: "ht-visit-choice" }),
  );
  const show = () =>
    buttons.forEach((each, index) =>
      each.setAttribute("aria-pressed", String(choices[index].value === taken)),
    );
  const take = (value) => {
    taken = value;
    show();
    changed();
  };
  show();
  const group = element("div", { className: "ht-visit-choices" }, ...buttons);
  group.setAttribute("role", "group");
  group.setAttribute("aria-labelledby", id);
  return { parts: [label, group], value: () => taken, kept: () => taken };
}

/** A choice is a sentence with its value beside it, or a value with its text. */
function choiceText(choice) {
  return choice.code ? sentence(choice) : sentence(choice.text);
}

/** A number or a text, with the keypad for it; whole numbers can be counted up and down. */
function written(entry, kept, id, changed) {
  const unit = entry.unit && entry.unit !== PLAIN ? shownUnit(entry.unit) : "";
  const input = element("input", { id, type: "text", autocomplete: "off", className: "ht-visit-input" });
  if (entry.kind in WRITTEN) input.inputMode = WRITTEN[entry.kind];
  input.value = keptText(kept, unit) ?? shownText(entry, unit);
  input.setAttribute("aria-describedby", `${id}-error`);
  input.addEventListener("input", changed);
  const label = element("label", { htmlFor: id, className: "ht-visit-label" }, sentence(entry.label));
  const count = (by) => {
    const now = readNumber(input.value);
    input.value = plain(Math.max(0, (typeof now === "number" ? now : 0) + by));
    changed();
  };
  const step = (by, sign, code) =>
    button(sign, () => count(by), { className: "ht-visit-step", ariaLabel: say(code) });
  const row = element(
    "div",
    { className: "ht-visit-written" },
    entry.kind === "whole" ? step(-1, "\u2212", "page.step.down") : null,
    input,
    unit ? element("span", { className: "ht-unit" }, unit) : null,
    entry.kind === "whole" ? step(1, "+", "page.step.up") : null,
  );
  return {
    parts: [label, row],
    value: () => read(entry, input.value, unit),
    kept: () => ({ text: input.value, unit }),
  };
}

/** What was typed, as it goes to Python; undefined for nothing, and a text where a number should stand. */
function read(entry, text, unit) {
  if (!(entry.kind in WRITTEN)) return text.trim() || undefined;
  const number = readNumber(text);
  return typeof number === "number" && unit && unit !== entry.unit ? toWire(number, unit) : number;
}

function keptText(kept, unit) {
  if (!kept?.text) return undefined;
  return kept.unit ? inUnit(kept.text, kept.unit, unit) : kept.text;
}

function shownText({ value, unit: wireUnit }, unit) {
  if (typeof value !== "number") return value ?? "";
  return plain(unit && unit !== wireUnit ? fromWire(value, unit) : value, SHOWN_DIGITS);
}
