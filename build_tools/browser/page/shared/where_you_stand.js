/**
 * On the page "somebody is caught": the site and the door of the leveler in hand, to be read out on the telephone.
 * It is what was chosen last on this phone, with the day of it, and never sure: whoever calls looks where they stand.
 */
import { kept } from "./kept.js";
import { say, sayDate } from "./words.js";

/** @param {HTMLElement} place */
export function showWhereYouStand(place) {
  const chosen = kept("place-in-hand");
  if (!chosen) return;
  const { customer, address, gate, door, day } = chosen;
  const lines = [
    [say("page.stand.chosen", { day: sayDate(day) })],
    [customer, address, gate, say("page.stand.door", { door })].filter(Boolean),
    [say("page.stand.check")],
  ];
  place.replaceChildren(
    ...lines.map((parts) => {
      const line = document.createElement("p");
      line.textContent = parts.join(", ");
      return line;
    }),
  );
  place.hidden = false;
}
