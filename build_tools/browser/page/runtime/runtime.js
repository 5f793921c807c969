/**
 * The calculators' Python as a page sees it: started once, asked with one JSON string, started again where it hangs.
 */
import { askKeeper } from "../keeping/keeper.js";
import { markStart, memoryMissed, noteMissed, restAndRoom, takeMarkAway } from "./runtime_memory.js";

const ANSWER_MS = 10_000;
const START_MS = 120_000;

/** @typedef {"absent" | "starting" | "ready" | "failed"} RuntimeState */
/** @typedef {{from: "memory" | "files", canKeep: boolean}} Started */

/**
 * What went wrong: `code` names it for words and tests, `report` is the short code of a fault of ours,
 * `trace` is for a report and never shown by itself.
 */
class RuntimeFault extends Error {
  constructor(code, { report = "", trace = "" } = {}) {
    super(code);
    this.code = code;
    this.report = report;
    this.trace = trace;
  }
}

/** @type {Worker | null} */
let worker = null;
/** @type {Promise<void> | null} */
let started = null;
/** Ends a start that is under way. @type {((fault: RuntimeFault) => void) | null} */
let giveUp = null;
/** True where the page was left, and may come back, before Python stood. */
let left = false;
let lastId = 0;
/** @type {Map<number, {resolve: (text: string) => void, reject: (fault: Error) => void}>} */
const waiting = new Map();
/** @type {Set<(state: RuntimeState, fault: RuntimeFault | null) => void>} */
const listeners = new Set();

/**
 * Ask a calculator. Starts Python where it has not started.
 * @param {string} name a calculator's name
 * @param {object} inputs its inputs, named as in its schema
 * @returns {Promise<object>} the answer, or {errors: [...]}; rejects with a RuntimeFault
 */
export async function ask(name, inputs) {
  return JSON.parse(await askText(name, JSON.stringify(inputs)));
}

/**
 * Ask with JSON text and get JSON text, to the last sign what the command line gives.
 */
export function askText(name, text) {
  return askAgain({ kind: "ask", name, text });
}

/**
 * Ask the visit's door for a screen, for what an act leads to, or for what a visit has come to.
 * @param {string} what
 * @param {string} text JSON, as calculators/visiting.py takes it
 * @returns {Promise<string>} JSON text; rejects with a RuntimeFault
 */
export function askVisit(what, text) {
  return askAgain({ kind: "visit", what, text });
}

/** A worker that hangs or dies is replaced and asked once more. */
async function askAgain(question) {
  try {
    return await askOnce(question);
  } catch (fault) {
    if (fault.code !== "hang" && fault.code !== "crash") throw fault;
    await startRuntime();
    return askOnce(question);
  }
}

/**
 * Ask for the picture or the working of an answer that is shown already.
 * @param {"picture" | "working"} what
 * @param {{name: string, text: string, answer: string}} answered the calculator, its inputs, and its answer to them
 * @param {Record<string, [string, number]>} units for the numbers along an axis, as `axisUnits` gives them
 * @returns {Promise<object>} what it gives, or {fault: a sentence}; rejects with a RuntimeFault
 */
export async function explain(what, answered, units = {}) {
  return JSON.parse(await askOnce({ kind: "explain", what, ...answered, units: JSON.stringify(units) }));
}

/** Start Python if it is not up; a failed start stays failed until `restartRuntime`. */
export function startRuntime() {
  started ??= start().catch((error) => {
    const fault =
      error instanceof RuntimeFault
        ? error
        : new RuntimeFault(error.code ?? "not-started", { trace: String(error) });
    endWorker(fault);
    if (left) started = null;
    setState(left ? "absent" : "failed", left ? null : fault);
    throw fault;
  });
  return started;
}

/** A worker that is still starting when its page goes is ended with it; a page that comes back starts again. */
addEventListener("pagehide", () => {
  if (document.documentElement.dataset.runtime !== "starting") return;
  left = true;
  worker?.terminate();
  takeMarkAway();
  giveUp?.(new RuntimeFault("left"));
});
addEventListener("pageshow", ({ persisted }) => {
  if (!persisted || !left) return;
  left = false;
  startRuntime().catch(() => {}); // the state says what is wrong
});

/** Try again after a failed start. */
export function restartRuntime() {
  if (document.documentElement.dataset.runtime === "failed") started = null;
  return startRuntime();
}

/** Be told of every change of state, and of the present one at once. */
export function onRuntimeState(listener) {
  listeners.add(listener);
  listener(/** @type {RuntimeState} */ (document.documentElement.dataset.runtime ?? "absent"), null);
}

async function start() {
  setState("starting");
  const ready = (await adoptEarly()) ?? (await startWhereFilesAre());
  takeMarkAway();
  document.documentElement.dataset.start = ready.from;
  setState("ready");
  performance.mark("ready"); // read by build_tools bench
  if (ready.canKeep) void keepMemory(worker);
  else if (ready.from === "files") document.documentElement.dataset.memory = "not-kept";
}

/**
 * The worker that the head of the page has begun on a later visit (theme/main.html); null where it could not start.
 * @returns {Promise<Started | null>}
 */
async function adoptEarly() {
  if (!window.earlyWorker) return null;
  worker = window.earlyWorker;
  window.earlyWorker = null;
  const word = await firstWord(worker, { kind: "adopt" });
  if (word.kind === "ready") return listen(word);
  if (word.code === "no-memory") takeMarkAway(); // else what is kept is in doubt
  worker.terminate();
  return null;
}

/** @returns {Promise<Started>} */
async function startWhereFilesAre() {
  const controlled = Boolean(navigator.serviceWorker?.controller);
  if (controlled && isAllHere((await askKeeper("")).standing)) return startWorker("kept", markStart());
  const { runtimeFilesCome, runtimeFilesReady } = await import("../keeping/offline.js");
  if (await runtimeFilesCome()) {
    const started = await startWorker("kept", markStart()).catch(() => null);
    if (started || left) return started;
  }
  const source = await runtimeFilesReady(); // it names what is wrong with them
  return startWorker(source, source === "kept" ? markStart() : "leave");
}

/** On a later visit the keeper knows at once that all is kept. @param {import("../keeping/keeper.js").Standing | null} standing */
function isAllHere(standing) {
  const current = standing?.current;
  return Boolean(
    current &&
    standing.opened === current.edition &&
    !standing.withdrawn &&
    current.kept.includes("calculators") &&
    current.tiers.calculators?.missing === 0,
  );
}

/**
 * Start a worker; where kept memory proves to be in doubt, another one without it.
 * @param {"kept" | "network"} source
 * @param {"use" | "discard" | "leave"} memory
 * @returns {Promise<Started>}
 */
async function startWorker(source, memory) {
  if (left) throw new RuntimeFault("left");
  worker?.terminate();
  worker = new Worker(new URL("../worker/python.js", import.meta.url), {
    type: "module",
    name: "calculators",
  });
  const word = await firstWord(worker, { kind: "start", source, memory, takeFirst: memoryMissed() });
  if (word.code === "memory" || word.code === "no-memory") {
    return startWorker(source, word.code === "memory" && memory === "use" ? "discard" : "leave");
  }
  if (word.kind !== "ready") throw new RuntimeFault(word.code, { trace: word.trace });
  return listen(word);
}

/** @param {Started} word */
function listen(word) {
  worker.addEventListener("message", (event) => settle(event.data));
  worker.addEventListener("error", () => lose("crash"));
  return word;
}

/** Wait for the worker's first message: ready, or why not. */
function firstWord(target, question) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => giveUp(new RuntimeFault("slow-start")), START_MS);
    const end = (settleWith, value) => {
      clearTimeout(timer);
      giveUp = null;
      settleWith(value);
    };
    giveUp = (fault) => end(reject, fault);
    target.addEventListener("message", ({ data }) => end(resolve, data), { once: true });
    target.addEventListener(
      "error",
      (event) => {
        end(reject, new RuntimeFault("not-started", { trace: event.message ?? "" }));
      },
      { once: true },
    );
    target.postMessage(question);
  });
}

/** Let the worker keep its memory once the page is at rest; it is ready without that. @param {Worker} target */
async function keepMemory(target) {
  const room = await restAndRoom();
  if (!room) document.documentElement.dataset.memory = "not-kept";
  else if (target === worker) target.postMessage({ kind: "keep" });
}

async function askOnce(question) {
  await startRuntime();
  const id = ++lastId;
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => lose("hang"), ANSWER_MS);
    const end = (settleWith) => (value) => {
      clearTimeout(timer);
      waiting.delete(id);
      settleWith(value);
    };
    waiting.set(id, { resolve: end(resolve), reject: end(reject) });
    worker.postMessage({ ...question, id });
  });
}

/** The calculators catch every fault of theirs; one that comes through has hurt Python itself, so it is replaced. */
function settle(message) {
  if (message.kind === "kept") {
    document.documentElement.dataset.memory = message.bytes ? "kept" : "not-kept";
    noteMissed(message.missed);
  }
  const question = waiting.get(message.id);
  if (message.kind === "answer") question?.resolve(message.text);
  if (message.kind !== "fault") return;
  question?.reject(new RuntimeFault("fault", { report: message.code, trace: message.trace }));
  lose("crash");
}

/** Give up a worker that no longer answers; the next question starts a new one. */
function lose(code) {
  endWorker(new RuntimeFault(code));
  started = null;
  setState("absent");
}

function endWorker(fault) {
  worker?.terminate();
  worker = null;
  for (const question of [...waiting.values()]) question.reject(fault);
}

function setState(state, fault = null) {
  document.documentElement.dataset.runtime = state;
  for (const listener of listeners) listener(state, fault);
}
