/** A calculator's answer: what to do, the cautions that this needs, why, and its picture. */
import { drawAnswer } from "../shown/answer_picture.js";
import { actsOf, mainButton } from "./acts.js";
import { bookPage } from "../shown/book_pages.js";
import { line } from "../shown/frame.js";
import { hazardsOf } from "../shown/hazards.js";
import { sentence } from "../shown/shown.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/** @param {import("./working.js").Work} work */
export async function answerScreen(work) {
  const { screen } = work;
  const { answer, asked } = screen;
  const page = await bookPage(screen.page);
  const figure = element("figure", { className: "ht-visit-picture", hidden: true });
  if (asked) void drawAnswer(figure, asked, answer);
  return {
    title: say("page.visit.answer", { title: screen.title }),
    body: [
      element("div", { className: "ht-visit-words" }, line(sentence(answer.headline))),
      ...(await hazardsOf(screen, page)),
      ...(screen.shown ?? []).map((shown) => line(sentence(shown), { className: "ht-visit-shown" })),
      reasons(answer.reasons ?? []),
      figure,
    ],
    acts: actsOf(
      work,
      mainButton(say("page.visit.go-on"), () => work.act({ do: "answer" })),
    ),
  };
}

function reasons(found) {
  if (!found.length) return null;
  const rows = found.map((reason) => element("li", {}, sentence(reason)));
  return element("ul", { className: "ht-visit-why" }, ...rows);
}
