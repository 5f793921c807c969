/** What a new edition changed of this job since its steps were done: read before the visit goes on. */
import { bookPage, stepOf } from "./book_pages.js";
import { showEarlier } from "./earlier.js";
import { button, line } from "./frame.js";
import { hazardsOf } from "./hazards.js";
import { sentence } from "./shown.js";
import { element } from "../shared/element.js";
import { say } from "../shared/words.js";

/** @param {import("./working.js").Work} work */
export async function changedScreen(work) {
  const { screen } = work;
  const page = await bookPage(screen.page);
  const steps = (screen.steps ?? []).map((id) => stepOf(page, id)).filter((step) => step !== null);
  return {
    title: say("page.visit.changed", { title: screen.title }),
    body: [
      line(say("page.visit.changed.why")),
      ...(await hazardsOf(screen, page)),
      ...(screen.shown ?? []).map((shown) => line(sentence(shown))),
      ...steps.map(({ number, parts }) =>
        element(
          "div",
          { className: "ht-visit-step-row" },
          element("span", { className: "ht-visit-number" }, number),
          element("div", { className: "ht-visit-words" }, ...parts),
        ),
      ),
    ],
    acts: [
      button(say("page.visit.back"), () => showEarlier(work)),
      button(say("page.visit.changed.read"), () => work.act({ do: "done", entries: {} }), {
        className: "ht-visit-act ht-visit-main",
      }),
    ],
  };
}
