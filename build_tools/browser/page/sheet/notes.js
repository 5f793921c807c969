/**
 * The line under a field: how a number was read, and where a value that nobody typed comes from.
 */
import {
  fieldText,
  hasUnits,
  isNumber,
  nullBox,
  readNumber,
  setNull,
  takeWritten,
  writtenUnit,
} from "./entry.js";
import { levelerNote, mayBeOffered, showNotOffered } from "./leveler_figures.js";
import { nameRow } from "./rows.js";
import { ofSystem } from "../units/units.js";
import { say, withMark } from "../shared/words.js";

/** Take notice of what a person just wrote: it is theirs now, whatever stood there before. */
export function noticeField(field) {
  delete field.dataset.from;
  takeWritten(field);
  setNull(field, Boolean(nullBox(field)?.checked));
  const row = field.closest("[data-row]");
  if (row) nameRow(row);
  showNote(field);
}

/** Bring the notes of a whole sheet up to date, and offer what can still be filled in. */
export function showNotes(section) {
  for (const field of section.querySelectorAll("[data-input]")) showNote(field);
  for (const offer of section.querySelectorAll("[data-offer]")) {
    const names = Object.keys(JSON.parse(offer.dataset.fill));
    const isFull = names.every((name) => fieldText(section.querySelector(`[data-input="${name}"]`)) !== "");
    offer.parentElement.hidden = isFull || !mayBeOffered(section, offer.dataset.offer);
  }
  showNotOffered(section);
}

function showNote(field) {
  const note = field.querySelector("[data-note]");
  const text = [readAs(field), writtenAs(field), origin(field)].filter(Boolean).join(" ");
  note.textContent = text;
  note.hidden = text === "";
}

/** A number written with a comma is shown as it was read, so that nobody wonders. */
function readAs(field) {
  const text = fieldText(field);
  const value = text.includes(",") && isNumber(field) ? readNumber(text) : undefined;
  return typeof value === "number" ? say("page.read-as", { number: withMark(String(value)) }) : "";
}

/** A quantity shown in other units than it was written in is told as it was written. */
function writtenAs(field) {
  if (!hasUnits(field) || field.dataset.from || fieldText(field) === "") return "";
  const unit = writtenUnit(field);
  return unit === ofSystem(field.dataset.units)
    ? ""
    : say("page.written-as", { number: fieldText(field), unit });
}

function origin(field) {
  const [kind, id] = (field.dataset.from ?? "").split(":");
  if (kind === "figure") return say("page.origin.offered", { figure: id });
  return levelerNote(field);
}
