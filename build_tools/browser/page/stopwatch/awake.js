/**
 * While a run is timed: the screen stays awake, no tab swaps the edition, and a press answers with sound and a buzz.
 */
import { stopwatchLock } from "../shared/tabs.js";

/** @type {WakeLockSentinel | null} */
let screen = null;
/** @type {(() => void) | null} */
let releaseSwap = null;
/** @type {AudioContext | null} */
let audio = null;
/** A browser that has not begun to play by then will not. */
const SOUND_MS = 1000;

/**
 * Hold everything for the length of a countdown and its run; what is held already stays so.
 * @returns {Promise<boolean>} whether the screen will stay awake
 */
export async function holdForRun() {
  if (!releaseSwap) {
    const done = new Promise((release) => {
      releaseSwap = release;
    });
    navigator.locks?.request(stopwatchLock, { mode: "shared" }, () => done);
  }
  return screen ? true : keepScreenAwake();
}

/** Let go after a run. */
export function letGo() {
  releaseSwap?.();
  releaseSwap = null;
  screen?.release().catch(() => {});
  screen = null;
}

/** Ask again after the page was hidden: a browser drops the hold by itself then. */
export async function keepScreenAwake() {
  try {
    const kept = await navigator.wakeLock.request("screen");
    if (releaseSwap) screen = kept;
    else kept.release().catch(() => {}); // the run ended while this was asked for
    return true;
  } catch {
    return false;
  }
}

/** Make ready to beep; a browser allows sound only after a touch. */
export function readySound() {
  if ("AudioContext" in window) audio ??= new AudioContext({ latencyHint: "interactive" });
  audio?.resume().catch(() => {});
}

/** What plays sound, once it does; null where this browser plays none. @returns {Promise<AudioContext | null>} */
export async function runningSound() {
  readySound();
  for (let waited = 0; waited < SOUND_MS && audio && audio.state !== "running"; waited += 20)
    await new Promise((resolve) => setTimeout(resolve, 20));
  return audio?.state === "running" ? audio : null;
}

/** Answer a press: one beep and buzz for a start, two for a stop. */
export function signal(times) {
  navigator.vibrate?.(times === 1 ? 80 : [80, 80, 80]);
  if (audio?.state !== "running") return;
  for (let index = 0; index < times; index += 1) beep(audio.currentTime + index * 0.16);
}

function beep(at) {
  const tone = audio.createOscillator();
  tone.frequency.value = 1320;
  tone.connect(audio.destination);
  tone.start(at);
  tone.stop(at + 0.08);
}
