/** Offers a new edition, in every element with data-status="edition"; nothing changes until a person asks for it. */
import { askKeeper } from "./keeper.js";
import { saveAndReload, whileNoStopwatch } from "../shared/tabs.js";
import { say, sayDate } from "../shared/words.js";

/** @typedef {import("./keeper.js").Standing} Standing */

/**
 * @param {Standing} standing
 * @param {string | null} opened the edition that this page came from
 */
export function showOffer(standing, opened) {
  const { current, next, ready } = standing;
  const swapped = Boolean(current && opened && current.edition !== opened && next?.edition !== opened);
  const offered = ready ? next : swapped ? current : null;
  for (const place of document.querySelectorAll("[data-status=edition]")) {
    if (!offered) place.replaceChildren();
    else if (place.getAttribute("data-edition") !== offered.edition) fill(place, offered, ready);
    place.setAttribute("data-edition", offered?.edition ?? "");
  }
}

/** @param {Element} place @param {import("./keeper.js").EditionStanding} offered @param {boolean} ready */
function fill(place, offered, ready) {
  const sentence = document.createElement("span");
  sentence.textContent = say("page.edition.offer", { date: sayDate(offered.date) });
  const button = document.createElement("button");
  button.type = "button";
  button.className = "ht-button";
  button.textContent = say("page.edition.open");
  button.addEventListener("click", async () => {
    const refusal = await open(ready);
    if (refusal) sentence.textContent = say(refusal);
  });
  place.setAttribute("role", "status");
  place.replaceChildren(sentence, " ", button);
}

/** Every tab saves and reloads when the worker says that it has swapped. @param {boolean} ready @returns {Promise<string | null>} why not */
async function open(ready) {
  let refusal = null;
  const free = await whileNoStopwatch(async () => {
    const { fault } = ready ? await askKeeper("swap") : { fault: null };
    if (fault) refusal = "page.edition.not-opened";
    else saveAndReload();
    return !fault;
  });
  return free ? refusal : "page.edition.stopwatch";
}
