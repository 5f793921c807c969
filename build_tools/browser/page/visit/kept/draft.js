/** What is typed on a screen and not entered yet, kept on the phone until it is: no lock, reload or new edition loses it. */
import { forget, keep, kept } from "../../shared/kept.js";

/** Which screen of a visit a draft belongs to. @param {any} screen */
const placeOf = (screen) =>
  [screen.kind, screen.job, ...(screen.steps ?? []), screen.question?.code].join(" ");

/** What was typed on this screen, by the entries' names. @param {string} visit @param {any} screen @returns {Record<string, any>} */
export function draftOf(visit, screen) {
  const draft = kept(nameOf(visit));
  return draft?.place === placeOf(screen) ? draft.entries : {};
}

/** @param {string} visit @param {any} screen @param {Record<string, any>} entries */
export function keepDraft(visit, screen, entries) {
  keep(nameOf(visit), { place: placeOf(screen), entries });
}

/** What was typed is in the log now. @param {string} visit */
export function forgetDraft(visit) {
  forget(nameOf(visit));
}

// A colon, not a slash: a name with a slash belongs to a book further down, and erasing would pass it by.
const nameOf = (/** @type {string} */ visit, /** @type {string[]} */ ...of) =>
  ["visit-draft", visit, ...of].join(":");

/**
 * Keep what is typed in a field beside the steps as it is typed, and put it back where it was left.
 * @template {HTMLInputElement | HTMLTextAreaElement} Field
 * @param {Field} field @param {string} visit @param {string} name
 * @returns {{field: Field, forget: () => void}} `forget` once it was written down
 */
export function keptField(field, visit, name) {
  const at = nameOf(visit, name);
  field.value = kept(at) ?? field.value;
  field.addEventListener("input", () => keep(at, field.value));
  return { field, forget: () => forget(at) };
}
