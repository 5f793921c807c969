/** The kinds of screens of a visit, and what stands at the head of each. */
import { answerScreen } from "./answer_screen.js";
import { changedScreen } from "./changed_screen.js";
import { button, frame } from "../shown/frame.js";
import { leftOpen } from "../shown/parts_of_page.js";
import { pathScreen } from "./path_screen.js";
import { questionScreen } from "./question_screen.js";
import { stepsScreen } from "./steps_screen.js";
import { element } from "../../shared/element.js";
import { say } from "../../shared/words.js";

/** What is on each kind of screen: {title, body, acts}. */
const KINDS = {
  steps: stepsScreen,
  runs: stepsScreen,
  answer: answerScreen,
  question: questionScreen,
  path: pathScreen,
  changed: changedScreen,
};

/** Show the present screen of a visit. @param {import("./working.js").Work} work */
export async function showScreen(work) {
  const { screen } = work;
  if (screen.kind === "leave" || screen.kind === "closed") return work.go(`leave=${work.id}`);
  const made = await KINDS[screen.kind](work);
  frame(work.place, {
    kind: screen.order ? "turn" : screen.kind,
    top: [whereOf(screen), menuButton(work)],
    ...made,
    body: [work.writes ? null : readOnly(), ...made.body],
    acts: work.writes ? made.acts : [],
  });
}

/** Which job of how many, and what is left open: a sign in ink, and a word. */
function whereOf({ at }) {
  if (!at) return null;
  const open = at.left_open ? leftOpen(say("page.visit.left-open", { count: at.left_open })) : null;
  const job = at.job ? say("page.visit.job", { job: at.job, of: at.of }) : "";
  return element("p", { className: "ht-visit-where" }, job, open);
}

function menuButton(work) {
  return button(say("page.visit.menu"), () => work.tools.menu(work), { className: "ht-visit-menu" });
}

function readOnly() {
  return element("p", { className: "ht-visit-notice", role: "status" }, say("page.visit.other-tab"));
}
