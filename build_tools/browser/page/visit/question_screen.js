/** A calculator's question before it answers: what it asks, and a button for each reply. */
import { bookPage } from "./book_pages.js";
import { showEarlier } from "./earlier.js";
import { button, line } from "./frame.js";
import { hazardsOf } from "./hazards.js";
import { sentence } from "./shown.js";
import { element } from "../shared/element.js";
import { say } from "../shared/words.js";

/** @param {import("./working.js").Work} work */
export async function questionScreen(work) {
  const { screen } = work;
  const { question } = screen;
  return {
    title: say("page.visit.question", { title: screen.title }),
    body: [
      ...(await hazardsOf(screen, await bookPage(screen.page))),
      element("div", { className: "ht-visit-words" }, line(sentence(question))),
      element(
        "div",
        { className: "ht-visit-choices" },
        ...question.choices.map(({ value, text }) =>
          button(sentence(text), () => work.act({ do: "reply", answer: value }), {
            className: "ht-visit-choice",
          }),
        ),
      ),
    ],
    acts: [button(say("page.visit.back"), () => showEarlier(work))],
  };
}
