/**
 * What a person wrote or tapped in one field, as a value for the wire and as text to keep.
 *
 * A quantity stays as it was written, with its unit: choosing other units changes what is shown, never what was meant.
 */
import { plain } from "../shared/decimal_text.js";
import { fromWire, isUnitOf, ofSystem, toWire } from "../units/units.js";

/** Significant digits of a number that was written in another unit. */
export const SHOWN_DIGITS = 6;

const NUMBER = /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/;

/**
 * Read a written number. A decimal comma counts as a point; what is no number stays text, and the calculator says so.
 * @param {string} text
 * @returns {number | string | undefined} undefined where nothing is written
 */
export function readNumber(text) {
  const plain = text.replace(/[\s\u00a0\u202f]/g, "").replace(/\u2212/g, "-");
  if (plain === "") return undefined;
  return NUMBER.test(plain) ? Number(plain.replace(",", ".")) : text.trim();
}

/**
 * The value of one field: a number, a text, a day, a choice, true or false, the choices ticked, null for
 * "not measured", undefined for nothing yet.
 * @param {HTMLElement} field the element with data-input
 */
export function fieldValue(field) {
  if (nullBox(field)?.checked) return null;
  const text = fieldText(field);
  if (text.trim() === "") return undefined;
  const read = READERS[field.dataset.kind];
  return read ? read(text, field) : onTheWire(readNumber(text), field);
}

/** A count that goes down on the wire is asked for without its minus: 8 to loosen is -8; a typed minus changes nothing. */
export function countsDown(field) {
  return "countsDown" in field.dataset;
}

const READERS = {
  choice: (text) => text,
  flag: (text) => text === "true",
  date: (text) => text.trim(),
  text: (text) => text.trim(),
  ticks: (text, field) =>
    text.split(",").map((choice) => ({ [field.querySelector("[data-ticks]").dataset.ticks]: choice })),
};

/** True where a number is written, so that a comma may be a decimal mark. */
export function isNumber(field) {
  return !(field.dataset.kind in READERS);
}

/** What stands in a field, as text: what was written, in the unit it was written in, or the choices taken. */
export function fieldText(field) {
  const written = writtenIn(field);
  if (written) return hasUnits(field) ? (field.dataset.written ?? "") : written.value;
  return choices(field)
    .filter((choice) => choice.checked)
    .map(({ value }) => value)
    .join(",");
}

/** The unit in which a field was written, "" where it has none to choose. */
export function writtenUnit(field) {
  return hasUnits(field) ? (field.dataset.writtenUnit ?? field.dataset.wireUnit) : "";
}

/** What stands in a field before anybody touches it: the book's own figure, or nothing. */
export function startText(field) {
  return writtenIn(field)?.defaultValue ?? "";
}

/** True where a field holds what it held before anybody touched it. */
export function isAtStart(field) {
  const text = fieldText(field);
  return (
    text === startText(field) &&
    (text === "" || !hasUnits(field) || writtenUnit(field) === field.dataset.wireUnit)
  );
}

/** Put text into a field, as `fieldText` gives it; a quantity in the wire's own unit unless another is named. */
export function setFieldText(field, text, unit = field.dataset.wireUnit) {
  const written = writtenIn(field);
  if (hasUnits(field)) {
    Object.assign(field.dataset, { written: text, writtenUnit: unit });
    showInUnits(field);
  } else if (written) written.value = text;
  const taken = text.split(",");
  for (const choice of choices(field)) choice.checked = taken.includes(choice.value);
}

/** A field's text to keep; a quantity with its unit: "48 in". */
export function keptText(field) {
  const text = fieldText(field);
  return hasUnits(field) && text !== "" ? `${text} ${writtenUnit(field)}` : text;
}

/** Put a kept text back into a field. */
export function setKeptText(field, text) {
  const [, number, unit] = /^(.*) (\S+)$/.exec(text) ?? [];
  if (hasUnits(field) && isUnitOf(unit, field.dataset.wireUnit)) setFieldText(field, number, unit);
  else setFieldText(field, text);
}

/** Take what a person just wrote as meant in the unit that stands beside it. */
export function takeWritten(field) {
  if (!hasUnits(field)) return;
  const { value } = writtenIn(field);
  if (value === field.dataset.shown) return; // nobody wrote here: what is shown may be rounded
  Object.assign(field.dataset, { written: value, writtenUnit: ofSystem(field.dataset.units), shown: value });
}

/** Show a quantity in the chosen units; in its own unit just as it was written. */
export function showInUnits(field) {
  const shown = inUnit(fieldText(field), writtenUnit(field), ofSystem(field.dataset.units));
  writtenIn(field).value = shown;
  field.dataset.shown = shown;
}

/**
 * The text of a quantity in another unit; what is no number stays as it is.
 * @param {string} text
 * @param {string} from
 * @param {string} to
 */
export function inUnit(text, from, to) {
  const number = readNumber(text);
  if (from === to || typeof number !== "number") return text;
  return plain(fromWire(toWire(number, from), to), SHOWN_DIGITS);
}

/** True where the units of a field can be chosen. */
export function hasUnits(field) {
  return "units" in field.dataset;
}

function onTheWire(value, field) {
  if (countsDown(field) && typeof value === "number") return -Math.abs(value) || 0;
  return typeof value === "number" && hasUnits(field) ? toWire(value, writtenUnit(field)) : value;
}

/** The entry of a field that is written into, null where something is chosen. */
function writtenIn(field) {
  return field.querySelector("input[type=text], input[type=date]");
}

function choices(field) {
  return [...field.querySelectorAll("input[type=radio], input[type=checkbox]:not([data-null-for])")];
}

/** The "not measured" box of a field, where it has one. */
export function nullBox(field) {
  return field.querySelector("input[data-null-for]");
}

/** Say "not measured", or take it back; the number beside it then waits, but keeps what was written. */
export function setNull(field, isNull) {
  const box = nullBox(field);
  if (!box) return;
  box.checked = isNull;
  writtenIn(field).disabled = isNull;
}

/** The label of a field, without the row it stands in. */
export function fieldLabel(field) {
  return field.querySelector(".ht-label")?.textContent ?? "";
}
