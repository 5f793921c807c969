/** What every page does once it can be read. */
import { showChanges } from "./changes.js";
import { startKeeping } from "./offline.js";
import { startTicks } from "./ticks.js";

startTicks();
void startKeeping();
void showChanges();
if (document.querySelector("section[data-calculator]")) void import("./calculator.js");
else if (document.querySelector("[data-leveler]")) void offerLevelers();

async function offerLevelers() {
  const leveler = await import("./leveler.js");
  await leveler.offerLevelers();
}
