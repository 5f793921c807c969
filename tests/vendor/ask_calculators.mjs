// Starts the deployed runtime (argument: the site's half-turn folder) and answers {name: inputs text} from standard input.
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const folder = resolve(process.argv[2]);
const { loadPyodide } = await import(pathToFileURL(`${folder}/pyodide/pyodide.mjs`).href);
const lock = new URL("../../build_tools/vendor/pyodide/pyodide-lock.json", import.meta.url); // served in the worker
const lockFileContents = readFileSync(lock, "utf-8");
const python = await loadPyodide({ indexURL: `${folder}/pyodide/`, lockFileContents });
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
