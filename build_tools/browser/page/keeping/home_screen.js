/** Says once, on a phone whose browser deletes what is not used, how to put the book on the Home Screen. */
import { keep, kept } from "../shared/kept.js";
import { isSaid, say } from "../shared/words.js";

const NAME = "home-screen-read";

/** The browser's own question, held back until the person asks for it. @type {any} */
let question = null;
window.addEventListener("beforeinstallprompt", (event) => {
  if (phoneSystem() !== "android") return;
  event.preventDefault();
  question = event;
});

/** True where the book was opened from the Home Screen. */
export const isOnHomeScreen = () =>
  /** @type {any} */ (navigator).standalone === true || matchMedia("(display-mode: standalone)").matches;

/** How to do it by hand on this phone; null on a desk, and where the book is on the Home Screen already. */
export function homeScreenAdvice() {
  const system = phoneSystem();
  return system && !isOnHomeScreen() ? say(`page.home-screen.${system}`) : null;
}

/** An iPad calls itself a Mac, but a Mac has no touch screen. @returns {"ios" | "android" | null} */
function phoneSystem() {
  const { userAgent, maxTouchPoints } = navigator;
  if (/iPhone|iPad|iPod/.test(userAgent) || (/Macintosh/.test(userAgent) && maxTouchPoints > 1)) return "ios";
  return /Android/.test(userAgent) ? "android" : null;
}

/** Show the advice at the foot, under the line that tells what is kept, until the person has read it. */
export function showHomeScreenAdvice() {
  const foot = document.querySelector(".ht-foot");
  const line = (foot ?? document).querySelector("[data-status=offline]");
  const advice = homeScreenAdvice();
  if (
    !(foot ?? line) ||
    !advice ||
    !isSaid("page.changes.seen") ||
    kept(NAME) ||
    document.querySelector("[data-advice=home-screen]")
  )
    return;
  const box = document.createElement("aside");
  box.className = "ht-advice";
  box.dataset.advice = "home-screen";
  const sentence = document.createElement("p");
  sentence.textContent = question ? say("page.home-screen.android.asks") : advice;
  box.append(sentence, ...buttons(box));
  if (line) line.after(box);
  else foot?.prepend(box); // the first page has its line at the top
}

/** @param {HTMLElement} box */
function buttons(box) {
  const done = () => {
    keep(NAME, true);
    box.remove();
  };
  const read = button("page.changes.seen", done);
  if (!question) return [read];
  const add = button("page.home-screen.add", async () => {
    await question.prompt().catch(() => {}); // it can be asked once; the answer is the person's
    question = null;
    done();
  });
  return [add, read];
}

/** @param {string} code @param {() => void} press */
function button(code, press) {
  const made = document.createElement("button");
  made.type = "button";
  made.className = "ht-button";
  made.textContent = say(code);
  made.addEventListener("click", press);
  return made;
}
