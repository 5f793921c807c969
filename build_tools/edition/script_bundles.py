"""Put the browser's modules together into few files, since each file costs a phone a way there and back.

The modules stay plain: each becomes a function that is called once, in the order of what it needs, and gives
what it exports. A bundle is named like the module that a page asks for and exports what that one exports; all
that it holds it gives as `parts`, by file name, to the bundles that need it too: so each module runs once.
No two modules share a name, whatever folder they live in, so a name alone says which one is meant.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

_BLOCK_COMMENT = re.compile(r"^[ \t]*/\*\*.*?\*/[ \t]*\n?", re.MULTILINE | re.DOTALL)
_LINE_COMMENT = re.compile(r"^[ \t]*//.*\n", re.MULTILINE)
_FOLDERS = re.compile(r'(\bfrom |\bimport\()"(?:\.\.?/)+(?:\w+/)*([\w.]+)"')
_IMPORT = re.compile(r'^import \{([^}]*)\} from "\./([\w.]+)";\n', re.MULTILINE)
_OTHER_IMPORT = re.compile(r'^import (?:[{*"]|\w+ from).*', re.MULTILINE)  # not a line of Python in a text
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|const|class) (\w+))", re.MULTILINE)
_EXPORT_LIST = re.compile(r"^export \{ ([\w, ]+) \};\n?", re.MULTILINE)
_OTHER_EXPORT = re.compile(r"^export\b.*", re.MULTILINE)
_IMPORT_LATER = re.compile(r'\bimport\("\./([\w.]+)"\)')
_AWAITS = re.compile(r"^(?!async |function |class |import )\S.*\bawait\b", re.MULTILINE)


class NotBundled(ValueError):
    """A module is written in a way that the bundles do not know; the message names it and the line."""


@dataclass(frozen=True, slots=True)
class _Module:
    name: str
    body: str
    needs: dict[str, str]
    """What it imports, as written between the braces, by the file that it comes from."""
    exports: tuple[str, ...]

    @property
    def waits(self) -> bool:
        """Whether its own statements wait for something."""
        return bool(_AWAITS.search(self.body))


def bundles(sources: Mapping[str, str], wanted: Sequence[Sequence[str]]) -> dict[str, str]:
    """Return the bundles of a folder, by file name.

    `sources` are modules by file name; `wanted` names each bundle's modules, the one it is named after first.
    A bundle holds these and what they need, but for what an earlier bundle holds.
    Raises NotBundled for a module that is missing, needs itself, or is written in another way than ours are.
    """
    modules = {name: _read(name, text) for name, text in sources.items()}
    home: dict[str, str] = {}
    held: dict[str, list[_Module]] = {}
    for entry, *others in wanted:
        ordered = [modules[name] for name in _in_order([entry, *others], modules) if name not in home]
        held[entry] = ordered
        home |= {module.name: entry for module in ordered}
    if lost := modules.keys() - home.keys():
        raise NotBundled(f"no bundle needs {', '.join(sorted(lost))}")
    return {entry: _bundle(entry, held[entry], home) for entry in held}


def without_folders(text: str) -> str:
    """Return a module's source with each import naming its file alone, as if all modules lay side by side."""
    return _FOLDERS.sub(r'\1"./\2"', text)


def _read(name: str, text: str) -> _Module:
    code = without_folders(_LINE_COMMENT.sub("", _BLOCK_COMMENT.sub("", text)))
    needs = {found[2]: " ".join(found[1].split()) for found in _IMPORT.finditer(code)}
    listed = [name for found in _EXPORT_LIST.finditer(code) for name in found[1].split(", ")]
    exports = (*(found[1] for found in _EXPORT.finditer(code)), *listed)
    body = _EXPORT_LIST.sub("", _EXPORT.sub("", _IMPORT.sub("", code))).strip("\n")
    if strange := _OTHER_IMPORT.search(body) or _OTHER_EXPORT.search(body):
        raise NotBundled(f"{name}: {strange[0]}")
    return _Module(name, body, needs, exports)


def _in_order(entries: Iterable[str], modules: Mapping[str, _Module]) -> list[str]:
    """Name the entries and all that they need, each module after those that it needs itself."""
    done: dict[str, None] = {}

    def visit(name: str, way: tuple[str, ...]) -> None:
        if name in way or name not in modules:
            why = "needs itself" if name in way else "is missing"
            raise NotBundled(f"{' needs '.join((*way, name))}, which {why}")
        if name in done:
            return
        for needed in modules[name].needs:
            visit(needed, (*way, name))
        done[name] = None

    for entry in entries:
        visit(entry, ())
    return list(done)


def _bundle(entry: str, held: Iterable[_Module], home: Mapping[str, str]) -> str:
    held = list(held)
    here = {module.name for module in held}
    elsewhere = sorted({home[needed] for module in held for needed in module.needs if needed not in here})
    lines = [f'import {{ parts as {_variable(other)} }} from "./{other}";' for other in elsewhere]
    lines.append("export const parts = {};")
    for module in held:
        lines += _function(module, entry, home)
    exports = next(module.exports for module in held if module.name == entry)
    if exports:
        lines.append(f'export const {{ {", ".join(exports)} }} = parts["{entry}"];')
    return "\n".join(lines) + "\n"


def _function(module: _Module, entry: str, home: Mapping[str, str]) -> Iterator[str]:
    start = "await (async () => {" if module.waits else "(() => {"
    yield f'parts["{module.name}"] = {start}'
    for needed, names in module.needs.items():
        parts = "parts" if home[needed] == entry else _variable(home[needed])
        yield f'const {{ {names.strip(", ").replace(" as ", ": ")} }} = {parts}["{needed}"];'
    yield _IMPORT_LATER.sub(lambda found: _later(found[1], home), module.body)
    yield f"return {{ {', '.join(module.exports)} }};"
    yield "})();"


def _later(needed: str, home: Mapping[str, str]) -> str:
    if needed not in home:
        raise NotBundled(f"import() of {needed}, which is missing")
    return f'import("./{home[needed]}").then(({{ parts }}) => parts["{needed}"])'


def _variable(name: str) -> str:
    return f"from_{name.removesuffix('.js')}"
