// Starts the deployed runtime (argument: the site's half-turn folder) and answers {name: inputs text} from standard input.
import { copyFileSync, cpSync, mkdtempSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const folder = resolve(process.argv[2]);
// Served under an ending that every host knows; Node.js takes a module by another.
const home = mkdtempSync(join(tmpdir(), "python-"));
cpSync(`${folder}/pyodide`, home, { recursive: true });
for (const name of ["pyodide", "pyodide.asm"])
  copyFileSync(join(home, `${name}.js`), join(home, `${name}.mjs`));
const { loadPyodide } = await import(pathToFileURL(join(home, "pyodide.mjs")).href);
const lock = new URL("../../build_tools/vendor/pyodide/pyodide-lock.json", import.meta.url); // served in the worker
const lockFileContents = readFileSync(lock, "utf-8");
const python = await loadPyodide({ indexURL: `${home}/`, lockFileContents });
const { files, words } = JSON.parse(readFileSync(`${folder}/calculators.json`, "utf-8"));
for (const [path, source] of Object.entries(files)) {
  python.FS.mkdirTree(`/book/${path.split("/").slice(0, -1).join("/")}`);
  python.FS.writeFile(`/book/${path}`, source);
}
python.globals.set("words_text", words);
python.globals.set("asked", readFileSync(0, "utf-8"));
console.log(
  python.runPython(`
import json, sys
sys.path.insert(0, "/book")
from calculators.answering import run
from calculators.shared.words import read_words
words = read_words(words_text)
json.dumps({name: run(name, text, words) for name, text in json.loads(asked).items()})
`),
);
