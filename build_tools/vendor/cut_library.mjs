// Writes the library modules that Pyodide's start and the calculators need, compiled by Pyodide itself.
// Arguments: Pyodide's folder, the file to write, and the names that the calculators import.
import { readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [folder, written] = process.argv.slice(2, 4).map((path) => resolve(path));
const { loadPyodide } = await import(pathToFileURL(`${folder}/pyodide.mjs`).href);
// Without columns and with a fixed hash seed: smaller, and the same bytes each time.
const env = { PYTHONNODEBUGRANGES: "1", PYTHONHASHSEED: "0" };
const python = await loadPyodide({ indexURL: `${folder}/`, env });
python.FS.writeFile("/library.zip", readFileSync(`${folder}/python_stdlib.zip`));
python.globals.set("names", process.argv.slice(4).join(" "));
python.runPython(`
import contextlib, importlib, sys, traceback  # traceback: what a fault in Python needs on its way out

for name in names.split():
    with contextlib.suppress(ImportError):  # a name in a module, or a module of ours
        importlib.import_module(name)
home = next(path for path in sys.path if path.endswith(".zip")) + "/"
files = {str(getattr(module, "__file__", None) or "") for module in sys.modules.values()}
paths = sorted(file.removeprefix(home) for file in files if file.startswith(home))

import zipfile
from importlib._bootstrap_external import _code_to_hash_pyc

# Stored, not deflated: smaller once the whole archive is packed, and nothing to unpack at each import.
with zipfile.ZipFile("/library.zip") as library, zipfile.ZipFile("/cut.zip", "w") as cut:
    for path in paths:
        # Without docstrings, which weigh a third; "unchecked": nothing looks for a source that is not there.
        code = compile(library.read(path), path, "exec", dont_inherit=True, optimize=2)
        entry = zipfile.ZipInfo(path + "c", (1980, 1, 1, 0, 0, 0))
        entry.external_attr = 0o644 << 16
        cut.writestr(entry, bytes(_code_to_hash_pyc(code, bytes(8), False)))
`);
writeFileSync(written, python.FS.readFile("/cut.zip"));
