// Compiles Pyodide's standard library with Pyodide itself, so that a phone need not. Arguments: its folder, the file to write.
import { readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [folder, written] = process.argv.slice(2).map((path) => resolve(path));
const { loadPyodide } = await import(pathToFileURL(`${folder}/pyodide.mjs`).href);
// Without columns and with a fixed hash seed: smaller, and the same bytes each time.
const env = { PYTHONNODEBUGRANGES: "1", PYTHONHASHSEED: "0" };
const python = await loadPyodide({ indexURL: `${folder}/`, env });
python.FS.writeFile("/library.zip", readFileSync(`${folder}/python_stdlib.zip`));
python.runPython(`
import zipfile
from importlib._bootstrap_external import _code_to_hash_pyc

with zipfile.ZipFile("/library.zip") as library, zipfile.ZipFile("/compiled.zip", "w") as compiled:
    for path in sorted(name for name in library.namelist() if name.endswith(".py")):
        # Without docstrings, which weigh a third; "unchecked": nothing looks for a source that is not there.
        code = compile(library.read(path), path, "exec", dont_inherit=True, optimize=2)
        entry = zipfile.ZipInfo(path + "c", (1980, 1, 1, 0, 0, 0))
        compiled.writestr(entry, bytes(_code_to_hash_pyc(code, bytes(8), False)))
`);
writeFileSync(written, python.FS.readFile("/compiled.zip"));
