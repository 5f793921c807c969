/**
 * The calculators' Python as a page sees it: started once, asked with one JSON string, started again where it hangs.
 */
import { runtimeFilesReady } from "./offline.js";

const ANSWER_MS = 10_000;
const START_MS = 120_000;

/** @typedef {"absent" | "starting" | "ready" | "failed"} RuntimeState */

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
 * A worker that hangs or dies is replaced and asked once more.
 */
export async function askText(name, text) {
  const question = { kind: "ask", name, text };
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
 * @returns {Promise<object>} what it gives, or {fault: a sentence}; rejects with a RuntimeFault
 */
export async function explain(what, answered) {
  return JSON.parse(await askOnce({ kind: "explain", what, ...answered }));
}

/** Start Python if it is not up; a failed start stays failed until `restartRuntime`. */
export function startRuntime() {
  started ??= start().catch((error) => {
    const fault = error instanceof RuntimeFault ? error
      : new RuntimeFault(error.code ?? "not-started", { trace: String(error) });
    endWorker(fault);
    setState("failed", fault);
    throw fault;
  });
  return started;
}

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
  const source = await runtimeFilesReady();
  worker = new Worker(new URL("../worker/python.js", import.meta.url), { type: "module", name: "calculators" });
  await firstWord(worker, source);
  worker.addEventListener("message", (event) => settle(event.data));
  worker.addEventListener("error", () => lose("crash"));
  setState("ready");
}

/** Wait for the worker's first message: ready, or why not. */
function firstWord(target, source) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new RuntimeFault("slow-start")), START_MS);
    const end = (settleWith, value) => {
      clearTimeout(timer);
      settleWith(value);
    };
    target.addEventListener("message", ({ data }) => {
      if (data.kind === "ready") end(resolve);
      else end(reject, new RuntimeFault(data.code, { trace: data.trace }));
    }, { once: true });
    target.addEventListener("error", (event) => {
      end(reject, new RuntimeFault("not-started", { trace: event.message ?? "" }));
    }, { once: true });
    target.postMessage({ kind: "start", source });
  });
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
