/** What is beside the steps: a note, a photo, what was forgotten, what was entered wrongly, the page itself, leaving. */
import { button, frame } from "../shown/frame.js";
import { showForgottenTurn } from "./forgotten_turn.js";
import { element } from "../../shared/element.js";
import { scope } from "../../shared/place.js";
import { say } from "../../shared/words.js";

/** @param {import("./working.js").Work} work */
export function showMenu(work) {
  const { page, steps = [], unordered } = work.screen;
  const at = page ? new URL(`${page}${steps[0] ? `#${steps[0]}` : ""}`, scope).href : null;
  const row = (code, act) => button(say(`page.visit.menu.${code}`), act, { className: "ht-visit-choice" });
  const link = (code, href) =>
    element("a", { className: "ht-visit-choice", href }, say(`page.visit.menu.${code}`));
  frame(work.place, {
    kind: "menu",
    title: say("page.visit.menu"),
    body: [
      element(
        "div",
        { className: "ht-visit-choices" },
        work.writes ? row("beside", () => work.go(`beside=${work.id}`)) : null,
        work.writes && unordered?.springs?.length
          ? row("forgotten-turn", () => showForgottenTurn(work))
          : null,
        row("entered", () => work.go(`entries=${work.id}`)),
        at ? link("page", at) : null,
        row("scheme", nextScheme),
        row("leave", () => work.go(`leave=${work.id}`)),
        row("visits", () => work.go("")),
      ),
    ],
    acts: [
      button(say("page.visit.earlier.return"), () => work.show(), {
        className: "ht-visit-act ht-visit-main",
      }),
    ],
  });
}

/** The book's own switch between dark, light and sunlight stands in the head of the page, which a visit does not show. */
function nextScheme() {
  const shown = [...document.querySelectorAll("form[data-md-component=palette] label")].find(
    ({ hidden }) => !hidden,
  );
  shown?.click();
}
