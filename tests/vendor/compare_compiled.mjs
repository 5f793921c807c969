// Tells which modules (arguments after Pyodide's folder) are compiled in compiled_stdlib.zip as this Pyodide compiles them.
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [folder, ...modules] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(`${resolve(folder)}/pyodide.mjs`).href);
const env = { PYTHONNODEBUGRANGES: "1" };
const python = await loadPyodide({ indexURL: `${resolve(folder)}/`, env });
for (const name of ["python_stdlib.zip", "compiled_stdlib.zip"])
  python.FS.writeFile(`/${name}`, readFileSync(`${folder}/${name}`));
python.globals.set("asked", JSON.stringify(modules));
console.log(
  python.runPython(`
import importlib.util, json, marshal, zipfile

def is_same(path):
    code = compile(sources.read(path), path, "exec", dont_inherit=True, optimize=2)
    content = compiled.read(path + "c")
    return content[:4] == importlib.util.MAGIC_NUMBER and marshal.loads(content[16:]) == code

with zipfile.ZipFile("/python_stdlib.zip") as sources, zipfile.ZipFile("/compiled_stdlib.zip") as compiled:
    told = {path: is_same(path) for path in json.loads(asked)}
json.dumps(told)
`),
);
