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
 * The value of one field: a number, a choice, true or false, null for "not measured", undefined for nothing yet.
 * @param {HTMLElement} field the element with data-input
 */
export function fieldValue(field) {
  if (nullBox(field)?.checked) return null;
  const text = fieldText(field);
  if (text === "") return undefined;
  if (field.dataset.kind === "choice") return text;
  if (field.dataset.kind === "flag") return text === "true";
  return readNumber(text);
}

/** What stands in a field, as text: the written number or the value of the choice taken. */
export function fieldText(field) {
  const written = field.querySelector("input[type=text]");
  return written ? written.value : field.querySelector("input[type=radio]:checked")?.value ?? "";
}

/** What stands in a field before anybody touches it: the book's own figure, or nothing. */
export function startText(field) {
  return field.querySelector("input[type=text]")?.defaultValue ?? "";
}

/** Put text into a field, as `fieldText` gives it. */
export function setFieldText(field, text) {
  const written = field.querySelector("input[type=text]");
  if (written) written.value = text;
  for (const radio of field.querySelectorAll("input[type=radio]")) radio.checked = radio.value === text;
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
  field.querySelector("input[type=text]").disabled = isNull;
}

/** The label of a field, without the row it stands in. */
export function fieldLabel(field) {
  return field.querySelector(".ht-label")?.textContent ?? "";
}
