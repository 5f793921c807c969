/** Tells, folded at the foot of the page, how much of the book is on this phone and how long it lasts. */
import { homeScreenAdvice } from "./home_screen.js";
import { storageBlocked } from "../shared/kept.js";
import { promise } from "./lasting.js";
import { isSaid, say } from "../shared/words.js";

/** @param {import("./keeper.js").Standing} standing */
export async function showDetails({ current }) {
  if (!current || !isSaid("page.kept.summary")) return;
  const told = [
    ...Object.entries(current.tiers).map(([tier, { files, missing }]) =>
      say(`page.kept.${tier}`, { done: files - missing, total: files }),
    ),
    say(`page.kept.${await promise()}`),
    say(storageBlocked() ? "page.kept.not-written" : "page.kept.written"),
    homeScreenAdvice(),
  ];
  const box = document.querySelector("[data-details=kept]") ?? made();
  const paragraphs = told
    .filter((sentence) => sentence)
    .map((sentence) => {
      const paragraph = document.createElement("p");
      paragraph.textContent = sentence;
      return paragraph;
    });
  box.replaceChildren(/** @type {Element} */ (box.querySelector("summary")), ...paragraphs);
}

function made() {
  const box = document.createElement("details");
  box.className = "ht-kept";
  box.dataset.details = "kept";
  const summary = document.createElement("summary");
  summary.textContent = say("page.kept.summary");
  box.append(summary);
  const foot = document.querySelector(".ht-foot");
  const line = (foot ?? document).querySelector("[data-status=offline]");
  const advice = line?.nextElementSibling?.matches("[data-advice]") ? line.nextElementSibling : null;
  if (line) (advice ?? line).after(box); // the advice keeps its place under the line
  else foot?.prepend(box); // the first page has its line at the top
  return box;
}
