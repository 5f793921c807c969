/** What was typed on this phone outside the log of visits, all of it at once. */
import { forgetAllBut } from "../../shared/kept.js";

/** What tells of the phone and of the book, and of nobody. */
const OF_THE_PHONE = [
  "asked-to-last",
  "changes",
  "home-screen-read",
  "python-starting",
  "python-memory-missed",
  "units",
  "visit:without-demo",
];

/** Forget sheets, ticks, names, places: everything that a person wrote or measured. */
export function forgetTyped() {
  forgetAllBut(OF_THE_PHONE);
}
