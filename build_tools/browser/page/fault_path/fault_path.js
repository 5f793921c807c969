/**
 * A fault path, one question a screen. The table in the page is the path; this makes screens of its rows.
 * What was answered stands in the address, so that a reload, a shared link and the Back key keep it.
 */
import { answersIn, fragmentOf, walk } from "./fault_path_way.js";
import { endScreen, questionScreen } from "./fault_path_screen.js";
import { decoded } from "../shared/decoded.js";
import { say } from "../shared/words.js";

/** Make the page's path into screens; a page has one path at most. */
export function startFaultPath() {
  const section = document.querySelector("section[data-fault-path]");
  if (!(section instanceof HTMLElement)) return;
  const screen = document.createElement("div");
  screen.className = "ht-path-screen";
  section.prepend(screen);
  section.append(viewButton(section));
  const path = { section, screen };
  if (namesHiddenPart(section)) showView(section, "table");
  else showView(section, "one");
  show(path, { focus: answersIn(location.hash) !== undefined });
  addEventListener("popstate", () => {
    if (namesHiddenPart(section)) showView(section, "table");
    // A link to some other place on the page leaves the screen as it is; the plain address is question 1.
    else if (answersIn(location.hash) || !location.hash) show(path, { focus: true });
  });
}

/**
 * @typedef {{section: HTMLElement, screen: HTMLElement}} Path
 *
 * Show the screen that the address asks for.
 * @param {Path} path
 * @param {{focus: boolean}} how
 */
function show(path, { focus }) {
  const asked = answersIn(location.hash) ?? [];
  const way = walk(path.section, asked);
  const given = way.taken.map((row) => row.dataset.answer ?? "");
  const moves = {
    /** @param {string} answer */
    answer: (answer) => goTo(path, [...given, answer]),
    /** @param {number} count */
    back: (count) => goTo(path, given.slice(0, count)),
  };
  const parts = way.end ? endScreen(path.section, way, moves) : questionScreen(path.section, way, moves);
  path.screen.replaceChildren(...parts);
  if (given.length < asked.length) path.screen.prepend(otherEdition());
  if (focus) bringUp(path.screen);
}

/**
 * Each answer is a page of its own for the Back key.
 * @param {Path} path
 * @param {string[]} answers
 */
function goTo(path, answers) {
  history.pushState(null, "", fragmentOf(answers));
  show(path, { focus: true });
}

/**
 * The new screen starts at its heading, for the eye and for a screen reader alike.
 * @param {HTMLElement} screen
 */
function bringUp(screen) {
  const heading = screen.querySelector("h3");
  heading?.focus({ preventScroll: true });
  heading?.scrollIntoView({ block: "start", behavior: "instant" });
}

function otherEdition() {
  const note = document.createElement("p");
  note.setAttribute("role", "status");
  note.textContent = say("page.path.other-edition");
  return note;
}

/**
 * True where the address names a question or a caution that only the table shows.
 * @param {HTMLElement} section
 */
function namesHiddenPart(section) {
  const named = location.hash.length > 1 && document.getElementById(decoded(location.hash.slice(1)));
  return Boolean(named && named !== section && section.contains(named));
}

/**
 * @param {HTMLElement} section
 * @param {"one" | "table"} view
 */
function showView(section, view) {
  section.dataset.view = view;
  const button = section.querySelector("[data-part=view]");
  if (button) button.textContent = say(view === "one" ? "page.path.table" : "page.path.one");
}

/** @param {HTMLElement} section */
function viewButton(section) {
  const button = document.createElement("button");
  button.type = "button";
  button.dataset.part = "view";
  button.addEventListener("click", () => {
    showView(section, section.dataset.view === "one" ? "table" : "one");
    section.scrollIntoView({ block: "start", behavior: "instant" });
  });
  return button;
}
