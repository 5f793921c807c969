/**
 * The leveler in hand: chosen once from the company's list, kept on the phone, used by every work sheet.
 */
import { forget, keep, kept } from "../shared/kept.js";
import { LEVELER, setChosenLeveler } from "./leveler_figures.js";
import { showOwnFigures } from "./own_figures.js";
import { say } from "../shared/words.js";
import { showWays } from "./ways.js";

const LIST = new URL("../equipment.json", import.meta.url);

/**
 * Offer the choice in every place that asks for it, and tell of it now and whenever it changes.
 * @param {(leveler: import("./leveler_figures.js").Leveler | null) => void} told
 */
export async function offerLevelers(told = () => {}) {
  const places = [...document.querySelectorAll("[data-leveler]")];
  const { levelers } = await (await fetch(LIST)).json();
  const choose = (id) => {
    const leveler = levelers.find((known) => known.id === id) ?? null;
    if (leveler) keep(LEVELER, leveler.id);
    else forget(LEVELER);
    setChosenLeveler(leveler);
    for (const place of places) showChoice(place, leveler);
    showWays(leveler);
    showOwnFigures(leveler);
    told(leveler);
  };
  for (const place of places) place.replaceChildren(...choiceIn(place, levelers, choose));
  choose(kept(LEVELER));
}

function choiceIn(place, levelers, choose) {
  const label = document.createElement("label");
  const select = document.createElement("select");
  const note = document.createElement("p");
  select.append(
    new Option(say("page.leveler.none"), ""),
    ...levelers.map(({ id, name }) => new Option(name, id)),
  );
  select.addEventListener("change", () => choose(select.value));
  label.append(say("page.leveler.label"), " ", select);
  label.className = "ht-leveler-label";
  note.className = "ht-leveler-note";
  return [label, note];
}

function showChoice(place, leveler) {
  place.querySelector("select").value = leveler?.id ?? "";
  place.querySelector("p").textContent = leveler ? noteOf(leveler) : say("page.leveler.without");
}

function noteOf(leveler) {
  const nut = leveler.adjustingNut;
  const turning = nut
    ? say(`page.leveler.nut.${nut.threadHand}`, { seen_from: nut.seenFrom, see: nut.see })
    : "";
  return [leveler.makerNote, turning].filter(Boolean).join(" ");
}
