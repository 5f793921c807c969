/** The page of visits: what stands behind the # of its address is shown in its one place. */
import { askAbout, plan } from "./asked/asking.js";
import { askKeeper } from "../keeping/keeper.js";
import { showBeside } from "./pages/beside.js";
import { showVisits } from "./pages/choose.js";
import { showFiles } from "./files/files_page.js";
import { frame, line } from "./shown/frame.js";
import { showHistory } from "./pages/history.js";
import { showLeave } from "./pages/leave.js";
import { LogFault, openLog } from "./kept/log.js";
import { showReport } from "./pages/report.js";
import { sentence } from "./shown/shown.js";
import { showMenu } from "./screens/visit_menu.js";
import { showVisit, showVisitsEntries } from "./screens/working.js";
import { startRuntime } from "../runtime/runtime.js";
import { decoded } from "../shared/decoded.js";
import { element } from "../shared/element.js";
import { scope } from "../shared/place.js";
import { say } from "../shared/words.js";

/** What an address of this page shows: "#visit=ID" and so on; the plain address lists the visits. */
const PLACES = {
  "": showVisits,
  visit: showVisit,
  entries: showVisitsEntries,
  leave: showLeave,
  report: showReport,
  history: showHistory,
  beside: showBeside,
  files: showFiles,
};

const place = /** @type {HTMLElement} */ (document.querySelector("[data-visit]"));
/** Lets go of what is shown. @type {(() => void) | undefined} */
let leave;

void begin();

async function begin() {
  frame(place, { title: say("page.visit.starting"), body: [] });
  try {
    const [tools] = await Promise.all([toolsOf(), startRuntime()]);
    // One after the other: a page that is slow to come never takes the place of a later one.
    let shown = show(tools);
    addEventListener("hashchange", () => (shown = shown.then(() => show(tools))));
    await shown;
  } catch (fault) {
    refuse(fault);
  }
}

async function toolsOf() {
  const log = await openLog(await editionOf());
  return {
    log,
    plan: await plan(),
    database: log.database,
    append: (visit, leveler, drafts) => log.append(visit, leveler, drafts),
    eventsOf: (visit) => log.eventsOf(visit),
    ask: askAbout,
    menu: showMenu,
    say,
    told: sentence,
    element,
    frame,
    go,
  };
}

async function show(tools) {
  const [name, id = ""] = decoded(location.hash.slice(1)).split("=");
  leave?.();
  leave = undefined;
  document.documentElement.dataset.visits = name || "list";
  try {
    leave = await (Object.hasOwn(PLACES, name) ? PLACES[name] : PLACES[""])(place, id, tools);
  } catch (fault) {
    refuse(fault);
  }
}

/** @param {string} hash */
function go(hash) {
  location.hash = hash;
}

/** Which edition this page came from; "" where the keeper does not know. */
async function editionOf() {
  if (navigator.serviceWorker?.controller) {
    const { standing } = await askKeeper("");
    if (standing?.opened) return standing.opened;
  }
  return fetch(new URL("edition.json", scope))
    .then((answer) => answer.json())
    .then(({ edition }) => edition)
    .catch(() => "");
}

/** Nothing can be worked here: say why, and that the pages read all the same. */
function refuse(fault) {
  const code = fault instanceof LogFault ? `page.visit.no-log` : "page.visit.not-started";
  frame(place, { title: say("page.visit.refused"), body: [line(say(code), { role: "alert" })] });
  console.error(fault);
}
