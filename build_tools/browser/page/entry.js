/**
 * What a person wrote or tapped in one field, as a value for the wire and as text to keep.
 */

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
  return (READERS[field.dataset.kind] ?? readNumber)(text, field);
}

const READERS = {
  choice: (text) => text,
  flag: (text) => text === "true",
  date: (text) => text.trim(),
  text: (text) => text.trim(),
  ticks: (text, field) => text.split(",").map((choice) => ({ [field.querySelector("[data-ticks]").dataset.ticks]: choice })),
};

/** True where a number is written, so that a comma may be a decimal mark. */
export function isNumber(field) {
  return !(field.dataset.kind in READERS);
}

/** What stands in a field, as text: what is written, or the choices taken with a comma between them. */
export function fieldText(field) {
  const written = writtenIn(field);
  return written ? written.value : choices(field).filter((choice) => choice.checked).map(({ value }) => value).join(",");
}

/** What stands in a field before anybody touches it: the book's own figure, or nothing. */
export function startText(field) {
  return writtenIn(field)?.defaultValue ?? "";
}

/** Put text into a field, as `fieldText` gives it. */
export function setFieldText(field, text) {
  const written = writtenIn(field);
  if (written) written.value = text;
  const taken = text.split(",");
  for (const choice of choices(field)) choice.checked = taken.includes(choice.value);
}

/** The entry of a field that is written into, null where something is chosen. */
export function writtenIn(field) {
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
