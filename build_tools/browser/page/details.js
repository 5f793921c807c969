/** Tells, folded under the first line about what is kept, how much of the book is here and how long it lasts. */
import { homeScreenAdvice } from "./home_screen.js";
import { storageBlocked } from "./kept.js";
import { promise } from "./lasting.js";
import { say } from "./words.js";

/** @param {import("./keeper.js").Standing} standing */
export async function showDetails({ current }) {
  const line = document.querySelector("[data-status=offline]");
  if (!line || !current) return;
  const told = [
    ...Object.entries(current.tiers).map(([tier, { files, missing }]) =>
      say(`page.kept.${tier}`, { done: files - missing, total: files })),
    say(`page.kept.${await promise()}`),
    say(storageBlocked() ? "page.kept.not-written" : "page.kept.written"),
    homeScreenAdvice(),
  ];
  const box = line.parentElement?.querySelector("[data-details=kept]") ?? made(line);
  const paragraphs = told.filter((sentence) => sentence).map((sentence) => {
    const paragraph = document.createElement("p");
    paragraph.textContent = sentence;
    return paragraph;
  });
  box.replaceChildren(/** @type {Element} */ (box.querySelector("summary")), ...paragraphs);
}

/** @param {Element} line */
function made(line) {
  const box = document.createElement("details");
  box.className = "ht-kept";
  box.dataset.details = "kept";
  const summary = document.createElement("summary");
  summary.textContent = say("page.kept.summary");
  box.append(summary);
  line.after(box);
  return box;
}
