// At the author's desk only (build_tools serve): shows each new edition at once, or what keeps it from being built.

/** @typedef {{edition: string, problems: string[]}} State  how the last build went */

const ASK_MS = 1000;
const here = new URL("./", import.meta.url);
const book = new URL("../", here);

/** The edition served when this page was opened. @type {string | null} */
let seen = null;
/** @type {string} */
let hidden = "";

/** @returns {Promise<State | null>} null while serve is stopped */
async function ask() {
  const answer = await fetch(new URL("state.json", here), { cache: "no-store" }).catch(() => null);
  return answer?.ok ? answer.json() : null;
}

/** Whether a reload would lose something: an input not kept yet, or a running stopwatch in any tab of this book. */
async function hasUnsaved() {
  if (document.documentElement.dataset.unsaved === "yes") return true;
  const held = (await navigator.locks?.query())?.held ?? [];
  return held.some(({ name }) => name === `${book.href}stopwatch`);
}

/** Bring this page to the edition that is served now. @param {string} edition */
async function follow(edition) {
  const offer = document.querySelector(`[data-status=edition][data-edition="${edition}"] button`);
  const isNew = edition !== seen;
  if (!offer && !isNew) return;
  if (await hasUnsaved()) return;
  if (offer instanceof HTMLElement) return offer.click();
  seen = edition;
  // The page's own code compares what is kept with what is served whenever the network is back.
  if (navigator.serviceWorker?.controller) window.dispatchEvent(new Event("online"));
  else location.reload();
}

/** @param {string[]} problems */
function showProblems(problems) {
  const text = problems.join("\n\n");
  const shown = document.querySelector(".ht-desk");
  if (!text || text === hidden) {
    shown?.remove();
    if (!text) hidden = "";
  } else if (shown?.querySelector("pre")?.textContent !== text) {
    shown?.remove();
    document.body.append(problemList(text));
  }
}

/** @param {string} text */
function problemList(text) {
  const panel = document.createElement("section");
  panel.className = "ht-desk";
  panel.setAttribute("role", "alert");
  const title = document.createElement("h2");
  title.textContent = "Not built. This is the last good edition.";
  const list = document.createElement("pre");
  list.textContent = text;
  const hide = document.createElement("button");
  hide.type = "button";
  hide.textContent = "Hide until the next save";
  hide.addEventListener("click", () => {
    hidden = text;
    panel.remove();
  });
  panel.append(title, list, hide);
  return panel;
}

function addStyle() {
  const link = document.createElement("link");
  link.rel = "stylesheet";
  link.href = new URL("desk.css", here).href;
  document.head.append(link);
}

async function tick() {
  const state = document.hidden ? null : await ask();
  if (state) {
    showProblems(state.problems);
    seen ??= state.edition;
    await follow(state.edition);
  }
  setTimeout(tick, ASK_MS);
}

addStyle();
void tick();
