/** A calculator's question before it answers: what it asks, and a button for each reply. */
import { actsOf } from "./acts.js";
import { bookPage } from "../shown/book_pages.js";
import { button, frame, line } from "../shown/frame.js";
import { hazardsOf } from "../shown/hazards.js";
import { sentence } from "../shown/shown.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

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
        ...question.choices.map((choice) =>
          button(sentence(choice), () => reply(work, choice), { className: "ht-visit-choice" }),
        ),
      ),
    ],
    acts: actsOf(work),
  };
}

/** Whoever says that a half turn was made, and is not here, says which way it went. */
function reply(work, choice) {
  if (choice.value !== "turned") return work.act({ do: "reply", answer: choice.value });
  const way = (direction) =>
    button(
      say(`page.visit.turned.${direction}`),
      () => work.act({ do: "reply", answer: "turned", direction }),
      { className: "ht-visit-choice" },
    );
  frame(work.place, {
    kind: "question",
    title: sentence(choice),
    body: [
      line(say("page.visit.forgotten.direction"), { className: "ht-visit-label" }),
      element("div", { className: "ht-visit-choices" }, way("tighten"), way("loosen")),
    ],
    acts: [button(say("page.visit.back"), () => work.show())],
  });
  work.shownAt = performance.now();
}
