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
  const { told, ask, buttons } = questionParts(question, (slug) =>
    work.act({ do: "reply", answer: slugs.indexOf(slug) }),
  );
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
