/**
 * Python with the calculators in it: started from its files, or from the memory that an earlier start left.
 */
const RUNTIME = new URL("../pyodide/", import.meta.url);
const CALCULATORS = new URL("../calculators.json", import.meta.url);
const FOLDER = "/book";

/** Runs once in Python; `answer` and `explain` are the only names that the worker calls. */
const SETUP = `
import sys
sys.path.insert(0, "${FOLDER}")
from calculators._run import run
from calculators._words import read_words
with open("${FOLDER}/words.yml", encoding="utf-8") as file:
    _words = read_words(file.read())

def answer(name, text):
    return run(name, text, _words)

def explain(what, name, text, answer, units="{}"):
    from calculators import _explain  # with the first answer shown, so that the start does not wait for it
    if what == "picture":
        return _explain.run_picture(name, text, answer, _words, units)
    return _explain.run_working(name, text, answer, _words)
`;

/** What is imported later otherwise; memory that is kept holds it, for the files are not in it. Gives names, a line each. */
const TO_IMPORT = `
import importlib, pathlib, random, traceback
"\\n".join(sorted(path.stem for path in pathlib.Path("${FOLDER}/calculators").glob("*.py")))
`;

/** What is there to stay is not looked through again for what can be freed, which would cost each later start time. */
const SETTLE = "import gc; gc.collect(); gc.freeze()";

/** Two starts from the same memory would otherwise draw the same numbers. The hash seed stays the kept one. */
const RESEED = "import random; random.seed()";

/**
 * @typedef {object} Interpreter
 * @property {(name: string, text: string) => string} answer
 * @property {(what: string, name: string, text: string, answer: string, units?: string) => string} explain
 * @property {any} python Pyodide itself: what the two doors do not tell, tests ask of it
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
  const python = await load(brokenRuntime(), { _makeSnapshot: withMemory });
  writeFiles(python, await calculators);
  python.runPython(SETUP);
  return { interpreter: interpreterOf(python), takeMemory: (isFree) => takeMemory(python, isFree) };
}

async function takeMemory(python, isFree) {
  for (const name of python.runPython(TO_IMPORT).split("\n")) {
    await new Promise((resolve) => setTimeout(resolve)); // a question that has come goes first
    if (!isFree()) return null;
    python.runPython(`importlib.import_module("calculators.${name}")`);
  }
  python.runPython(SETTLE);
  return memoryOf(python);
}

/**
 * Start from kept memory; throws where the memory is not of this runtime.
 * Every calculator is imported in it with all it needs, so the library comes behind, for whatever else may need it.
 * @param {{memory: Uint8Array, filled: Promise<void>}} kept the runtime is loaded while the memory is filled
 * @returns {Promise<Interpreter>}
 */
export async function startFromMemory({ memory, filled }) {
  const broken = compileAhead(filled);
  import(new URL("pyodide.asm.mjs", RUNTIME).href).catch(() => {}); // Pyodide asks for it itself, after other things
  const python = await load(broken, { _loadSnapshot: memory, stdLibURL: new URL("pyodide-lock.json", RUNTIME).href });
  python.runPython(RESEED);
  writeLibrary(python).catch(() => {}); // a module that is missed is a fault, and faults are told
  return interpreterOf(python);
}

async function writeLibrary(python) {
  const response = await fetch(new URL("python_stdlib.zip", RUNTIME));
  const library = python.runPython("import sys; next(path for path in sys.path if path.endswith('.zip'))");
  python.FS.writeFile(library, new Uint8Array(await response.arrayBuffer()));
}

/** True where the keeper of the book answers with files of its edition, which it has verified. */
export async function comesFromEdition() {
  const { headers } = await fetch(new URL("pyodide-lock.json", RUNTIME));
  return headers.has("Edition");
}

/**
 * The options with an underscore are not promised by Pyodide: its version is pinned, and tests start this way.
 * @param {Promise<never>} broken
 */
async function load(broken, options) {
  const { loadPyodide } = await import(new URL("pyodide.mjs", RUNTIME).href);
  return Promise.race([broken, loadPyodide({ indexURL: RUNTIME.href, ...options })]);
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
 * @returns {Promise<never>} rejected where the runtime cannot be fetched or compiled, or the memory is not right
 */
function compileAhead(filled) {
  const wasm = new URL("pyodide.asm.wasm", RUNTIME).href;
  const plain = self.fetch.bind(self);
  const compiling = WebAssembly.compileStreaming(plain(wasm));
  self.fetch = (asked, ...given) => // Pyodide's own request would bring the same 10 MB once more
    (asked === wasm ? Promise.resolve(new Response(null)) : plain(asked, ...given));
  WebAssembly.instantiateStreaming = async (_, imports) => {
    const [module] = await Promise.all([compiling, filled]);
    return { module, instance: await WebAssembly.instantiate(module, imports) };
  };
  return new Promise((_, reject) => Promise.all([compiling, filled]).catch(reject));
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
  return { answer: python.globals.get("answer"), explain: python.globals.get("explain"), python };
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
