// Prints, one a line, the library modules that Pyodide has imported when it is ready. Argument: its folder.
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const folder = resolve(process.argv[2]);
const { loadPyodide } = await import(pathToFileURL(`${folder}/pyodide.mjs`).href);
const python = await loadPyodide({ indexURL: `${folder}/` });
const names = python.runPython(`
import sys, traceback  # traceback: what a fault in Python needs on its way out
library = next(path for path in sys.path if path.endswith(".zip"))
"\\n".join(sorted(name for name, module in sys.modules.items()
                 if str(getattr(module, "__file__", None) or "").startswith(library)))
`);
console.log(names);
