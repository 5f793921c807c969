/**
 * Python in a worker of its own: starts once, then answers one question with one JSON string each way.
 *
 * From the page: {kind: "start", source: "kept" | "network"}, then {kind: "ask", id, name, text} and
 * {kind: "explain", id, what: "picture" | "working", name, text, answer}.
 * To the page: {kind: "ready"} | {kind: "failed", code, trace}, then {kind: "answer", id, text} |
 * {kind: "fault", id, code, trace}. A trace never reaches a person unless they copy it.
 */
import { cameDamaged, checkFetches } from "./checked_fetch.js";

const RUNTIME = new URL("../pyodide/", import.meta.url);
const CALCULATORS = new URL("../calculators.json", import.meta.url);
const FOLDER = "/book";

/** Runs once in Python; `answer` and `explain` are the only names the worker calls. */
const SETUP = `
import sys
sys.path.insert(0, "${FOLDER}")
from calculators._run import run
from calculators._words import read_words
with open("${FOLDER}/words.yml", encoding="utf-8") as file:
    _words = read_words(file.read())

def answer(name, text):
    return run(name, text, _words)

def explain(what, name, text, answer):
    from calculators import _explain  # with the first answer shown, so that the start does not wait for it
    door = _explain.run_picture if what == "picture" else _explain.run_working
    return door(name, text, answer, _words)
`;

/** @type {((name: string, text: string) => string) | null} It lives as long as the worker. */
let answer = null;
/** @type {((what: string, name: string, text: string, answer: string) => string) | null} As long as the worker. */
let explain = null;

self.addEventListener("message", async (event) => {
  const message = event.data;
  if (message.kind === "start") self.postMessage(await start(message.source));
  if (message.kind === "ask") self.postMessage(reply(message, () => answer(message.name, message.text)));
  if (message.kind === "explain") {
    self.postMessage(reply(message, () => explain(message.what, message.name, message.text, message.answer)));
  }
});

/**
 * Bring Python up and import the calculators.
 * @param {"kept" | "network"} source Files from the network are checked here; kept ones were checked when kept.
 * @returns {Promise<{kind: "ready"} | {kind: "failed", code: string, trace: string}>}
 */
async function start(source) {
  try {
    if (source === "network") await checkFetches();
    const python = await startPython();
    await writeCalculators(python);
    python.runPython(SETUP);
    answer = python.globals.get("answer");
    explain = python.globals.get("explain");
    return { kind: "ready" };
  } catch (error) {
    return { kind: "failed", code: cameDamaged() ? "damaged" : "not-started", trace: traceOf(error) };
  }
}

/** Start Python itself. Alone in a function, so that another way of starting can take its place. */
async function startPython() {
  const { loadPyodide } = await import(new URL("pyodide.mjs", RUNTIME).href);
  return loadPyodide({ indexURL: RUNTIME.href });
}

/** Write the calculators' source and the sentences where Python finds them. */
async function writeCalculators(python) {
  const response = await fetch(CALCULATORS);
  if (!response.ok) throw new Error(`${response.status} for ${CALCULATORS.pathname}`);
  const { files, words } = await response.json();
  for (const [path, text] of Object.entries(files)) {
    const target = `${FOLDER}/${path}`;
    python.FS.mkdirTree(target.slice(0, target.lastIndexOf("/")));
    python.FS.writeFile(target, text);
  }
  python.FS.writeFile(`${FOLDER}/words.yml`, words);
}

/** Answer one question; a fault of ours becomes a short code with its trace beside it. */
function reply({ id }, call) {
  try {
    if (!answer) throw new Error("asked before Python was ready");
    return { kind: "answer", id, text: call() };
  } catch (error) {
    const trace = traceOf(error);
    return { kind: "fault", id, code: reportCode(trace), trace };
  }
}

function traceOf(error) {
  return String(error?.message ?? error) + "\n" + String(error?.stack ?? "");
}

/** Six signs that are the same for the same fault, so that two people can tell whether they met one or two. */
function reportCode(trace) {
  let hash = 0x811c9dc5;
  for (const sign of trace) hash = Math.imul(hash ^ sign.codePointAt(0), 0x01000193) >>> 0;
  return hash.toString(16).padStart(8, "0").slice(0, 6).toUpperCase();
}
