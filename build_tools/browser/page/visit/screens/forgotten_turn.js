/** A half turn that was made and is not in the visit: entered with its reason, and shown as such. */
import { button, frame, line } from "../shown/frame.js";
import { fieldOf } from "./entries.js";
import { say } from "../../shared/words.js";

/** @param {import("./working.js").Work} work */
export function showForgottenTurn(work) {
  const { springs } = work.screen.unordered;
  const choice = (ask, choices) => ({
    ask,
    kind: "choice",
    label: say(`page.visit.forgotten.${ask}`),
    choices,
    value: null,
  });
  const entries = [
    choice(
      "spring",
      springs.map(({ label }, value) => ({ value, text: label })),
    ),
    choice(
      "direction",
      ["tighten", "loosen"].map((value) => ({ value, text: say(`page.visit.turned.${value}`) })),
    ),
    { ask: "reason", kind: "text", label: say("page.visit.forgotten.reason"), value: null },
  ];
  if (springs.length === 1) entries[0].value = 0;
  const fields = entries.map((entry) => fieldOf(entry, undefined, () => {}));
  const enter = async () => {
    const blank = fields.find(({ value }) => value() === undefined);
    if (blank) return blank.refuse(say("page.visit.forgotten.missing"));
    const [index, direction, reason] = fields.map(({ value }) => value());
    const { spring, which } = springs[index];
    const errors = await work.act({ do: "turned", spring, which, direction, unordered: reason });
    if (errors?.length) fields[2].refuse(errors.map(({ message }) => message).join(" "));
  };
  frame(work.place, {
    kind: "forgotten",
    title: say("page.visit.menu.forgotten-turn"),
    body: [line(say("page.visit.forgotten.why")), ...fields.map(({ element }) => element)],
    acts: [
      button(say("page.visit.back"), () => work.show()),
      button(say("page.visit.forgotten.enter"), enter, { className: "ht-visit-act ht-visit-main" }),
    ],
  });
  work.shownAt = performance.now();
}
