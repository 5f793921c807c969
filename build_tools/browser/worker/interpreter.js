/**
 * Python with the calculators in it: started from its files, or from the memory that an earlier start left.
 */
import { HASHES, LOCK } from "./runtime_key.js";

const RUNTIME = new URL("../pyodide/", import.meta.url);
const KEPT = new URL("../../sha256/", import.meta.url);
const MODULE = "pyodide.asm.wasm";
const CALCULATORS = new URL("../calculators.json", import.meta.url);
const FOLDER = "/book";

/** Runs once in Python; `answer`, `explain` and `visit` are the only names that the worker calls. */
const SETUP = `
import sys
sys.path.insert(0, "${FOLDER}")
from calculators.answering import run
from calculators.shared.words import read_words
with open("${FOLDER}/words.yml", encoding="utf-8") as file:
    _words = read_words(file.read())

def answer(name, text):
    return run(name, text, _words)

def explain(what, name, text, answer, units="{}"):
    from calculators import explain as explanations  # with the first answer shown, so that the start does not wait for it
    if what == "picture":
        return explanations.run_picture(name, text, answer, _words, units)
    return explanations.run_working(name, text, answer, _words)

def visit(what, text):
    from calculators import visiting  # a page without a visit never asks
    return visiting.run(what, text, _words)
`;

/** What is imported later otherwise; memory that is kept holds it, for the files are not in it. Gives names, a line each. */
const TO_IMPORT = `
import importlib, pathlib, random, traceback
files = pathlib.Path("${FOLDER}/calculators").rglob("*.py")
"\\n".join(sorted(".".join(path.relative_to("${FOLDER}").with_suffix("").parts) for path in files if path.stem != "__init__"))
`;

/** What is there to stay is not looked through again for what can be freed, which would cost each later start time. */
const SETTLE = "import gc; gc.collect(); gc.freeze()";

/** Two starts from the same memory would otherwise draw the same numbers. The hash seed stays the kept one. */
const RESEED = "import random; random.seed()";

/**
 * @typedef {object} Interpreter
 * @property {(name: string, text: string) => string} answer
 * @property {(what: string, name: string, text: string, answer: string, units?: string) => string} explain
 * @property {(what: string, text: string) => string} visit
 * @property {any} python Pyodide itself: what the three doors do not tell, tests ask of it
 */

/**
 * Start from the files.
 * @param {boolean} withMemory memory may be taken of this start
 * @returns {Promise<{interpreter: Interpreter, takeMemory: (isFree: () => boolean) => Promise<Uint8Array | null>}>}
 *   `takeMemory` imports every calculator, one at a time, and gives the memory; null where it is no longer free to, or
 *   where this browser gives none
 */
export async function startFromFiles(withMemory) {
  const calculators = readCalculators(); // on its way while Python starts
  calculators.catch(() => {}); // where Python fails first, that is the fault to tell
  const python = await load(
    scriptsAt((name) => new URL(name, RUNTIME).href),
    brokenRuntime(),
    { _makeSnapshot: withMemory },
  );
  writeFiles(python, await calculators);
  python.runPython(SETUP);
  return { interpreter: interpreterOf(python), takeMemory: (isFree) => takeMemory(python, isFree) };
}

async function takeMemory(python, isFree) {
  for (const name of python.runPython(TO_IMPORT).split("\n")) {
    await new Promise((resolve) => setTimeout(resolve)); // a question that has come goes first
    if (!isFree()) return null;
    python.runPython(`importlib.import_module("${name}")`);
  }
  python.runPython(SETTLE);
  return memoryOf(python);
}

/** The runtime is not kept on this phone, or not all of it. */
export class NotKept extends Error {}

/**
 * Start from kept memory; throws where the memory is not of this runtime, and NotKept where the runtime is not there.
 * Every calculator is imported in it with all it needs, so the library comes behind, for whatever else may need it.
 * @param {{memory: Uint8Array, filled: Promise<void>}} kept the runtime is loaded while the memory is filled
 * @returns {Promise<Interpreter>}
 */
export async function startFromMemory({ memory, filled }) {
  const broken = compileAhead(filled);
  const scripts = scriptsAt(keptAt).catch(() => {
    throw new NotKept("pyodide.js");
  });
  const plain = self.fetch;
  self.fetch = async () => new Response(null); // Pyodide would fetch what is compiled already, and the library first
  const python = await load(scripts, broken, { _loadSnapshot: memory });
  self.fetch = plain;
  python.runPython(RESEED);
  writeLibrary(python).catch(() => {}); // a module that is missed is a fault, and faults are told
  return interpreterOf(python);
}

/** Where the keeper of the book answers with the file of this hash, which it has verified, or with none. */
const keptAt = (/** @type {string} */ name) => new URL(HASHES[name], KEPT).href;

async function writeLibrary(python) {
  const response = await fetch(new URL("python_stdlib.zip", RUNTIME));
  const library = python.runPython("import sys; next(path for path in sys.path if path.endswith('.zip'))");
  python.FS.writeFile(library, new Uint8Array(await response.arrayBuffer()));
}

/** @param {(name: string) => string} at where a file of the runtime is */
const scriptsAt = (at) => Promise.all(["pyodide.js", "pyodide.asm.js"].map((name) => import(at(name))));

/**
 * The options with an underscore are not promised by Pyodide: its version is pinned, and tests start this way.
 * @param {Promise<any[]>} scripts what `scriptsAt` gives
 * @param {Promise<never>} broken
 */
async function load(scripts, broken, options) {
  const [{ loadPyodide }, { default: createPyodideModule }] = await Promise.race([broken, scripts]);
  const given = { indexURL: RUNTIME.href, lockFileContents: LOCK, createPyodideModule, ...options };
  return Promise.race([broken, loadPyodide(given)]);
}

/** Rejected where the runtime cannot be fetched or compiled: Pyodide itself then waits for ever. @returns {Promise<never>} */
function brokenRuntime() {
  const plain = WebAssembly.instantiateStreaming;
  return new Promise((_, reject) => {
    WebAssembly.instantiateStreaming = (...given) => {
      const begun = plain.apply(WebAssembly, given);
      begun.catch(reject);
      return begun;
    };
  });
}

/**
 * Compile the runtime while the kept memory is read; Pyodide itself would wait for the memory first.
 * @param {Promise<void>} filled the memory is right: nothing of the runtime is called before
 * @returns {Promise<never>} rejected where the runtime is not there or not right, or the memory is not
 */
function compileAhead(filled) {
  const compiling = readModule().then((bytes) => WebAssembly.compile(bytes));
  WebAssembly.instantiateStreaming = async (_, imports) => {
    const [module] = await Promise.all([compiling, filled]);
    return { module, instance: await WebAssembly.instantiate(module, imports) };
  };
  return new Promise((_, reject) => Promise.all([compiling, filled]).catch(reject));
}

/** As it is kept: through the keeper, and in a stream, it would come later. */
async function readModule() {
  const kept = await caches.match(keptAt(MODULE));
  if (!kept) throw new NotKept(MODULE);
  return kept.arrayBuffer();
}

/** A browser in which no memory can be taken starts from the files each time. */
function memoryOf(python) {
  try {
    return python.makeMemorySnapshot();
  } catch {
    return null;
  }
}

/** @returns {Interpreter} */
function interpreterOf(python) {
  const [answer, explain, visit] = ["answer", "explain", "visit"].map((name) => python.globals.get(name));
  return { answer, explain, visit, python };
}

async function readCalculators() {
  const response = await fetch(CALCULATORS);
  if (!response.ok) throw new Error(`${response.status} for ${CALCULATORS.pathname}`);
  return response.json();
}

/** Write the calculators' source and the sentences where Python finds them. */
function writeFiles(python, { files, words }) {
  for (const [path, text] of Object.entries({ ...files, "words.yml": words })) {
    const target = `${FOLDER}/${path}`;
    python.FS.mkdirTree(target.slice(0, target.lastIndexOf("/")));
    python.FS.writeFile(target, text);
  }
}
