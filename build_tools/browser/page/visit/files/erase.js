/**
 * Erase all that was typed on this phone, in one place and for good: visits, photos, names, sheets, ticks.
 * The book itself stays. What is not handed over is offered to be handed over first.
 */
import { element } from "../../shared/element.js";
import { forgetTyped } from "../kept/typed.js";
import { handAllOver } from "./handing_over.js";
import { button, buttons, leftOpen, paragraph, section } from "../shown/parts_of_page.js";
import { say } from "../../shared/words.js";

/** @param {import("../pages/choose.js").Tools} tools @param {(told: string) => Promise<void>} again */
export function erasePart(tools, again) {
  const place = element("div", { dataset: { part: "erase-now" } });
  const sure = async () => {
    const [visits, photos, waits] = await Promise.all([
      tools.database.count("digests"),
      tools.database.count("photos"),
      tools.database.countFromIndex("digests", "keeps"),
    ]);
    const open = await tools.database.countFromIndex("digests", "open");
    const first = { dataset: { act: "hand-over-first" } };
    const handOver = button(say("page.visit.files.everything"), () => handAllOver(tools, again), first);
    const now = button(say("page.visit.erase.now"), erase, { dataset: { act: "erase-now" } });
    place.replaceChildren(
      paragraph(say("page.visit.erase.counts", { visits, photos })),
      ...(waits + open
        ? [paragraph(leftOpen(say("page.visit.erase.not-handed-over", { count: waits + open })))]
        : []),
      buttons(visits ? handOver : null, now),
    );
    place.querySelector("button")?.focus();
  };
  const erase = async () => {
    await tools.log.eraseAll();
    forgetTyped();
    await again(say("page.visit.erase.done"));
  };
  return section(
    "erase",
    say("page.visit.erase.title"),
    paragraph(say("page.visit.erase.what")),
    button(say("page.visit.erase.ask"), sure, { dataset: { act: "erase" } }),
    place,
  );
}
