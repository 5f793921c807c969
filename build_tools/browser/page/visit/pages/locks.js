/** Whose lock hangs where: each person takes off their own, and all are off before the close. */
import { act } from "../asked/asked.js";
import { element } from "../../shared/element.js";
import { button, leftOpen, section } from "../shown/parts_of_page.js";
import { problemLine, done } from "../shown/problems.js";
import { say } from "../../shared/words.js";

/**
 * @param {{person: string, place: string, where: string, on: boolean}[]} locks
 * @param {{tools: import("./choose.js").Tools, visit: string, again: () => Promise<void>, closed: boolean}} about
 */
export function locksPart(locks, { tools, visit, again, closed }) {
  if (!locks.length) return null;
  const problem = problemLine();
  const lines = locks.map(({ person, place, where, on }) => {
    const off = async () => {
      const acted = act(tools, visit, { do: "lock", person, place, on: false });
      if (await done(acted, problem)) await again();
    };
    const text = say(on ? "page.visit.lock.hangs" : "page.visit.lock.off", { person, place: where });
    return element(
      "li",
      {},
      on ? leftOpen(text) : text,
      on && !closed
        ? button(say("page.visit.lock.take-off", { person }), off, { dataset: { act: "lock-off" } })
        : null,
    );
  });
  return section(
    "locks",
    say("page.visit.lock.title"),
    element("ul", { className: "ht-visit-locks" }, ...lines),
    problem,
  );
}
