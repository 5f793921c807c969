/** What every page does once it can be read. */
import { showChanges } from "./changes.js";
import { startKeeping } from "./offline.js";
import { startTicks } from "./ticks.js";
import { putWithinReach } from "./within_reach.js";

const REST_MS = 3000;

// Fetched as soon as the head is read, so it may be here before the page is.
if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", begin, { once: true });
else begin();

function begin() {
  putWithinReach();
  startTicks();
  void rested().then(startKeeping);
  void showChanges();
  if (document.querySelector("section[data-fault-path]")) void import("./fault_path.js").then((path) => path.startFaultPath());
  if (document.querySelector("section[data-calculator]")) void import("./calculator.js");
  else if (document.querySelector("[data-leveler]")) void offerLevelers();
}

async function offerLevelers() {
  const leveler = await import("./leveler.js");
  await leveler.offerLevelers();
}

/** Where Python starts from kept memory, in half a second, the rest of the book waits for it. */
async function rested() {
  if (window.earlyWorker === undefined) return; // null once it is adopted
  const { startRuntime } = await import("./runtime.js");
  await Promise.race([startRuntime().catch(() => {}), new Promise((resolve) => setTimeout(resolve, REST_MS))]);
}
