/** The lip runs of a visit: timed by the stopwatch of the page's own work sheet, each on disk as soon as it is stopped. */
import { bookPage, stopwatchOf } from "../shown/book_pages.js";
import { button } from "../shown/frame.js";
import { startText } from "../../stopwatch/how_timed.js";
import { openStopwatch } from "../../stopwatch/stopwatch.js";
import { fixed } from "../../shared/decimal_text.js";
import { element } from "../../shared/element.js";
import { say, withMark } from "../../shared/words.js";

const DONE = "done";
/** A press that bounces may stop a run, and may not go on from it. */
const REST_MS = 500;

/** True where a screen times runs. @param {any} screen */
function timesRuns({ kind }) {
  return kind === "runs";
}

/** True where enough runs count. @param {any} screen */
export function hasEnoughRuns({ least }) {
  return !least;
}

/**
 * The runs so far, and the stopwatch.
 * @param {import("./working.js").Work} work
 * @param {Document} page
 * @param {string[]} ways of the leveler
 * @param {() => void} done enough runs are timed, and the visit goes on
 * @returns {Promise<{list: HTMLElement, dialog: HTMLDialogElement, opener: HTMLElement} | null>} null where nothing is timed
 */
export async function runsOf(work, page, ways, done) {
  if (!timesRuns(work.screen)) return null;
  const dialog = stopwatchOf(page, ways) ?? stopwatchOf(await bookPage(timingPage(work)), ways);
  if (!dialog) return null;
  dialog.querySelector("[data-act=open-own-timing]")?.remove();
  dialog.querySelector("[data-act=close-stopwatch]").textContent = say("page.visit.earlier.return");
  dialog.removeAttribute("aria-labelledby");
  dialog.setAttribute("aria-label", dialog.querySelector(".ht-stopwatch-title").textContent);
  const list = element("ul", { className: "ht-visit-runs" });
  const opener = button(say("page.visit.time-a-run"), () => {}, { className: "ht-visit-act ht-visit-main" });
  let shownAt = 0;
  const close = () => performance.now() - shownAt > REST_MS && dialog.close(DONE);
  const go = button(say("page.visit.done"), close, { className: "ht-visit-runs-done", hidden: true });
  dialog.classList.add("ht-visit-watch");
  dialog.append(go);
  const show = () => {
    list.replaceChildren(...runsIn(work).map(item));
    go.hidden = !hasEnoughRuns(work.screen);
    shownAt = performance.now();
  };
  openStopwatch(dialog, opener, keeper(work, show));
  dialog.addEventListener("close", async () => {
    await work.pending; // a run that was put away is still being written
    if (dialog.returnValue === DONE) done();
    else void work.show();
  });
  show();
  return { list, dialog, opener };
}

/** Where another page of the plan has a stopwatch: a step may time runs on a page without a sheet of its own. */
function timingPage({ tools }) {
  const pages = Object.entries(tools.plan.pages);
  const found = pages.find(([, { steps }]) => steps.some(({ asks = [] }) => asks.includes("runs")));
  return found?.[0] ?? "";
}

const runsIn = ({ screen }) => screen.runs ?? [];

/** The visit as the keeper of the stopwatch's runs. @returns {import("../../stopwatch/stopwatch.js").Runs} */
function keeper(work, show) {
  let dropped = 0; // nothing was timed, so nothing is written
  const write = async (act) => {
    const errors = await work.actBehind(act);
    show();
    return errors ? errors.map(({ message }) => message).join(" ") : say("page.visit.run-not-kept");
  };
  return {
    name: `visit/${work.id}`,
    kept: "page.visit.run-kept",
    goesOn: true,
    record: (text, why, { started, tone }) => {
      if (!text) return lost(work, write, why);
      return write({
        do: "run",
        fold_time_s: Number(text),
        started,
        ...(tone && { tone }),
        ...(why && { struck: why }),
      });
    },
    all: () =>
      runsIn(work).map((run, index) => ({
        name: say("page.row.run", { number: index + 1 }),
        text: textOf(run),
        start: startText(run),
        isStruck: Boolean(run.struck),
        turn: () => write({ do: run.struck ? "put-back" : "strike", of: run.of, why: say("page.struck") }),
      })),
    dropped: () => dropped,
    drop: () => {
      dropped += 1;
    },
  };
}

/** A run that a reload cut off has no time: the record says so in a note, and so does the screen. */
async function lost(work, write, why) {
  const said = await write({ do: "note", text: why });
  work.tell(why);
  return said;
}

function item(run) {
  const time = withMark(textOf(run)) || say("page.stopwatch.no-time");
  const struck = typeof run.struck === "string" ? element("small", {}, ` ${run.struck}`) : null;
  const made = element("li", {}, say("page.stopwatch.run", { seconds: time }), struck);
  made.toggleAttribute("data-struck", Boolean(run.struck));
  return made;
}

const textOf = ({ fold_time_s: seconds }) => (typeof seconds === "number" ? fixed(seconds, 2) : "");
