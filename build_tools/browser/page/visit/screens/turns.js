/** The half turn that is asked for, and the count of those that were made. */
import { settingWords, springName } from "../shown/shown.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/** The order of a half turn: the way first, in words, then the spring, then what the leveler's row says of its nut. */
export function orderOf({ screen: { order }, events, tools }) {
  if (!order) return null;
  const nut = tools.plan.levelers[events[0].values.leveler_class]?.nut;
  return element(
    "div",
    { className: "ht-visit-order" },
    element("p", { className: "ht-visit-direction" }, say(`page.visit.turn.${order.direction}`)),
    element("p", { className: "ht-visit-spring" }, springName(order.spring, order.which, order.of)),
    nut ? element("p", { className: "ht-visit-nut" }, say(`page.leveler.nut.${nut.thread_hand}`, nut)) : null,
  );
}

/** Net so far and what is left, for the spring that is turned. @param {any} screen */
export function ledgerOf({ order, ledger = {} }) {
  const springs = Object.entries(ledger).filter(([spring]) => order && spring === order.spring);
  if (!springs.length) return null;
  const rows = springs.flatMap(([, { nets, left }]) => [
    row(say("page.visit.net"), settingWords(nets[order.which - 1])),
    ...leftRows(left),
  ]);
  return element("dl", { className: "ht-visit-ledger" }, ...rows.flat());
}

function leftRows(left) {
  if (!left) return [];
  return ["tighten", "loosen"]
    .filter((way) => typeof left[way] === "number")
    .map((way) => row(say(`page.visit.left.${way}`), String(left[way])));
}

function row(name, value) {
  return [element("dt", {}, name), element("dd", {}, value)];
}
