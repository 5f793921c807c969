/**
 * What the calculator cannot use, said at the field that it belongs to.
 */
import { fieldText, writtenUnit } from "./entry.js";
import { toldError, toldText } from "../units/unit_sentences.js";

/** Take every message off the sheet. */
export function clearErrors(section) {
  for (const message of section.querySelectorAll("[data-error]")) {
    message.textContent = "";
    message.hidden = true;
  }
  for (const input of section.querySelectorAll("[aria-invalid]")) input.removeAttribute("aria-invalid");
}

/**
 * Show the errors at their fields.
 * @param {HTMLElement} section
 * @param {{field: string, value: unknown, message: string}[]} errors
 * @param {Map<string, string>} places from the calculator's field to the one on the page
 * @returns {string[]} messages that belong to no field on the page
 */
export function showErrors(section, errors, places) {
  clearErrors(section);
  const elsewhere = errors.filter((error) => !showAt(section, places.get(error.field) ?? error.field, error));
  // The phone's keys leave half the screen: what is wrong with the field in hand comes up from under them.
  section
    .querySelector("[data-input]:focus-within [data-error]:not([hidden])")
    ?.scrollIntoView({ block: "nearest" });
  return elsewhere.map((error) => toldText(error.message));
}

function showAt(section, path, error) {
  const message = section.querySelector(`[data-error="${CSS.escape(path)}"]`);
  if (!message) return false;
  const field = section.querySelector(`[data-input="${CSS.escape(path)}"]`);
  const given = field ? `${fieldText(field)} ${writtenUnit(field)}`.trim() : "";
  message.textContent = toldError(field, error, given);
  message.hidden = false;
  message.closest("details")?.setAttribute("open", "");
  const inputs = section.querySelectorAll(`[data-input="${CSS.escape(path)}"] input`);
  for (const input of inputs) input.setAttribute("aria-invalid", "true");
  return true;
}
