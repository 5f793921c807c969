/** Days and hours of a visit, as they were written where it happened. */
import { sayDate } from "../../shared/words.js";

/** A day where the phone is, as 2026-11-30. @param {Date} [day] */
export function isoDay(day = new Date()) {
  const parts = [day.getFullYear(), day.getMonth() + 1, day.getDate()];
  return parts.map((part) => String(part).padStart(2, "0")).join("-");
}

/** The day that is so many days from today, as 2026-11-30. @param {number} days */
export function daysFrom(days) {
  const day = new Date();
  day.setDate(day.getDate() + days);
  return isoDay(day);
}

/** The day of a local time in words. @param {string} at as 2026-11-30T14:03:07.120+01:00 */
export const dayOf = (at) => sayDate(at.slice(0, 10));

/** Day and hour of a local time, wherever the phone is now. @param {string} at */
export const spoken = (at) => ({ day: dayOf(at), hour: at.slice(11, 16) });
