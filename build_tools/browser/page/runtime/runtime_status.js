/**
 * Say in words how far the calculators are: starting with the seconds gone by, ready, or failed with what to do.
 */
import { onRuntimeState, restartRuntime } from "./runtime.js";
import { isSaid, say } from "../shared/words.js";

const hasWebAssembly = typeof WebAssembly === "object";

/** Keep the status lines of a page true. */
export function showRuntimeStatus() {
  let ticking = 0;
  onRuntimeState((state, fault) => {
    clearInterval(ticking);
    if (state === "starting") ticking = tick();
    if (state === "ready") write(say("page.runtime.ready"), false);
    if (state === "failed") write(failedText(fault), true);
  });
}

function tick() {
  const began = performance.now();
  const show = () =>
    write(say("page.runtime.starting", { seconds: Math.floor((performance.now() - began) / 1000) }), false);
  show();
  return setInterval(show, 1000);
}

function failedText(fault) {
  const code = hasWebAssembly ? fault?.code : "no-webassembly";
  const known = `page.runtime.failed.${code}`;
  return say(isSaid(known) ? known : "page.runtime.failed");
}

/** Only an end is spoken aloud: a reader would not want every second. */
function write(text, failed) {
  for (const line of document.querySelectorAll("[data-status=runtime]")) {
    line.hidden = false;
    line.querySelector("[data-text]").textContent = text;
    const again = line.querySelector("[data-act=restart]");
    again.hidden = !failed || !hasWebAssembly; // no further start can help there
    again.onclick = () => restartRuntime().catch(() => {});
  }
}
