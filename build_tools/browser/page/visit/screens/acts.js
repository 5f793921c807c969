/** The acts at the foot of a screen of a visit: back, not so, and the main one. */
import { showEarlier } from "./earlier.js";
import { button } from "../shown/frame.js";
import { showNotSo } from "./not_so.js";
import { say } from "../../shared/words.js";

/**
 * @param {import("./working.js").Work} work
 * @param {...(HTMLElement | null)} main what goes on from here
 */
export function actsOf(work, ...main) {
  const isBehind = work.events.some(({ kind }) => kind === "done");
  return [
    isBehind ? button(say("page.visit.back"), () => showEarlier(work)) : null,
    work.screen.can.includes("not-so") ? button(say("page.visit.not-so"), () => showNotSo(work)) : null,
    ...main,
  ];
}

/** @param {string} text @param {() => void} act */
export function mainButton(text, act) {
  return button(text, act, { className: "ht-visit-act ht-visit-main" });
}
