/** What every page does once it can be read. */
import { showChanges } from "./keeping/changes.js";
import { startKeeping } from "./keeping/offline.js";
import { nextTask } from "./shared/next_task.js";
import { startTicks } from "./shared/ticks.js";
import { putWithinReach } from "./shared/within_reach.js";
import { isSaid } from "./shared/words.js";

const REST_MS = 3000;

// Fetched as soon as the head is read, so it may be here before the page is.
if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin, { once: true });
else begin();

/** Each part in a task of its own, so that a thumb is never waited for long. */
async function begin() {
  if (isSaid("page.offline.none")) document.documentElement.dataset.tells = "";
  startTicks();
  await nextTask();
  putWithinReach();
  await nextTask();
  void rested().then(startKeeping);
  void showChanges();
  if (document.querySelector("section[data-fault-path]"))
    void import("./fault_path/fault_path.js").then((path) => path.startFaultPath());
  const stand = document.querySelector(".ht-guide [data-place-in-hand]");
  if (stand) void import("./shared/where_you_stand.js").then((page) => page.showWhereYouStand(stand));
  if (document.querySelector("[data-visit]")) void import("./visit/visit.js");
  if (document.querySelector("section[data-calculator]")) void import("./sheet/calculator.js");
  else if (document.querySelector("[data-leveler], [data-ways]")) void offerLevelers();
}

async function offerLevelers() {
  const leveler = await import("./sheet/leveler.js");
  await leveler.offerLevelers();
}

/** Where Python starts from kept memory, in half a second, the rest of the book waits for it. */
async function rested() {
  if (window.earlyWorker === undefined) return; // null once it is adopted
  const { startRuntime } = await import("./runtime/runtime.js");
  await Promise.race([
    startRuntime().catch(() => {}),
    new Promise((resolve) => setTimeout(resolve, REST_MS)),
  ]);
}
