/** A question of a fault path, in the words of its own page. */
import { actsOf } from "./acts.js";
import { bookPage } from "../shown/book_pages.js";
import { hazardsOf } from "../shown/hazards.js";
import { questionParts } from "../../fault_path/fault_path_screen.js";
import { rowsOf } from "../../fault_path/fault_path_way.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/** @param {import("./working.js").Work} work */
export async function pathScreen(work) {
  const { screen } = work;
  const page = await bookPage(screen.page);
  const asked = `[data-fault-path] [data-question="${CSS.escape(screen.question)}"]`;
  const question = /** @type {HTMLElement} */ (document.importNode(page.querySelector(asked), true));
  const slugs = rowsOf(question).map(({ dataset }) => dataset.answer ?? "");
  const { told, ask, buttons } = questionParts(question, (slug) => {
    const answer = slugs.indexOf(slug);
    return work.act({ do: "reply", answer, note: noteOf(rowsOf(question)[answer]) });
  });
  buttons.setAttribute("role", "group");
  buttons.setAttribute("aria-labelledby", "ht-path-ask");
  return {
    title: say("page.visit.question", { title: screen.title }),
    body: [
      ...(await hazardsOf(screen, page)),
      element("div", { className: "ht-path-question ht-visit-words" }, ...told, ask ?? "", buttons),
    ],
    acts: actsOf(work),
  };
}

/**
 * What the answer that led to this screen says of itself: what to do, and why.
 * @param {{replied?: {page: string, question: string, answer: number} | null}} screen
 */
export async function repliedOf({ replied }) {
  if (!replied) return null;
  const page = await bookPage(replied.page);
  const asked = `[data-fault-path] [data-question="${CSS.escape(replied.question)}"]`;
  const row = rowsOf(/** @type {HTMLElement} */ (page.querySelector(asked)))[replied.answer];
  const told = ["act", "reason", "why"].map((part) => partOf(row, part)).filter(Boolean);
  return told.length ? element("p", { className: "ht-visit-shown" }, told.join(" ")) : null;
}

/** The answer in its own words, and why it is a stop: so the record says what was found. */
function noteOf(row) {
  return ["says", "reason"]
    .map((part) => partOf(row, part))
    .filter(Boolean)
    .map((text) => text.replace(/[^.!?]$/u, "$&."))
    .join(" ");
}

function partOf(row, part) {
  return row?.querySelector(`[data-part="${part}"]`)?.textContent.replace(/\s+/gu, " ").trim() ?? "";
}
