"""The cut standard library: the same bytes each time, and enough for Pyodide and every calculator."""

from __future__ import annotations

import ast
import io
import json
import random
import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from build_tools.places import PROJECT
from build_tools.vendor.cut_library import (
    COMPILED,
    IMPORTS,
    LIBRARY,
    PYODIDE,
    STARTUP,
    cut_library,
    needed_modules,
)
from build_tools.vendor.module_imports import imports_of, library_imports

ASK = Path(__file__).with_name("ask_calculators.mjs")
SEED = 314
BEYOND_PYTHON_3_11 = {
    *("_pyrepl.types", "_pyrepl.utils", "annotationlib", "dataclasses", "pdb"),
    *("site", "string.templatelib", "traceback", "typing"),
}
"""Modules of the library that the oldest Python of ours cannot parse."""


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A library of a few modules."""
    path = tmp_path / "library.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("site.py", "import os\n")
        archive.writestr("os.py", "")
        archive.writestr("pack/__init__.py", "from . import inner\nfrom .deep import thing\n")
        archive.writestr("pack/inner.py", "def later():\n    import late\n")
        archive.writestr("pack/deep.py", "thing = 1\n")
        archive.writestr("pack/unused.py", "")
        archive.writestr("late.py", "")
    return path


@pytest.fixture
def imports(small: Path, tmp_path: Path) -> Path:
    """What the modules of the small library import of each other."""
    path = tmp_path / "LIBRARY_IMPORTS"
    path.write_text(library_imports(small), encoding="utf-8")
    return path


@pytest.fixture
def startup(tmp_path: Path) -> Path:
    """What the small library's start needs."""
    path = tmp_path / "STARTUP_MODULES"
    path.write_text("site\nos\n_frozen_elsewhere\n", encoding="utf-8")
    return path


def test_what_a_source_imports_comes_with_all_it_needs(imports: Path, startup: Path) -> None:
    """A module brings its package and what these import while they load, relative imports too; no more."""
    sources = ["def f():\n    import pack.inner\n", "import math\n"]

    assert needed_modules(sources, imports=imports, startup=startup) == {
        "site",
        "os",
        "pack",
        "pack.inner",
        "pack.deep",
    }


def test_imports_are_found_without_parsing_the_whole_source() -> None:
    """The import statements by themselves name the same modules as the whole source, of every calculator."""
    sources = [path.read_text(encoding="utf-8") for path in (PROJECT / "calculators").rglob("*.py")]
    sources += [
        "def f():\n    from a import (\n        b,  # why\n        c as d,\n    )\n    import e, f.g as h\n"
    ]
    sources += [
        '"""Text.\n\nimport taxes on springs\n"""\nimport math\n',
        "from near import x\nimport q  # why\n",
    ]

    for source in sources:
        assert imports_of(source) == every_import(ast.parse(source))


def every_import(tree: ast.AST) -> set[str]:
    """The modules of all import statements of a parsed source; of `from a import b` both a and a.b."""
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            names |= {base, *(f"{base}.{alias.name}" for alias in node.names)}
    return names


def test_a_module_of_a_later_python_brings_all_it_may_need(tmp_path: Path) -> None:
    """Of a module that this Python cannot parse, what its functions import is listed too."""
    library = tmp_path / "library.zip"
    with zipfile.ZipFile(library, "w") as archive:
        archive.writestr("new/__init__.py", "import os\ndef f():\n    from . import late\n???\n")
        archive.writestr("new/late.py", "def g():\n    import os\n")
        archive.writestr("os.py", "")

    assert library_imports(library) == "new new new.late os\nnew.late\nos\n"


def test_the_start_alone(imports: Path, startup: Path) -> None:
    """Without a source only the start's modules are needed, less those that the library has not."""
    assert needed_modules([], imports=imports, startup=startup) == {"site", "os"}


def test_the_cut_holds_the_named_modules_alone(small: Path) -> None:
    """The archive has the named modules' files, unchanged, not deflated, with a date that tells nothing."""
    with zipfile.ZipFile(io.BytesIO(cut_library(small, ["os", "pack", "pack.deep"]))) as cut:
        entries = cut.infolist()
        content = cut.read("pack/deep.py")

    assert [entry.filename for entry in entries] == ["os.py", "pack/__init__.py", "pack/deep.py"]
    assert content == b"thing = 1\n"
    assert {(entry.compress_type, entry.date_time) for entry in entries} == {(0, (1980, 1, 1, 0, 0, 0))}


def test_an_unknown_module_is_no_silent_gap(small: Path) -> None:
    """A module that the library has not is an error at build time, not a fault on a phone."""
    with pytest.raises(KeyError, match="zoneinfo"):
        cut_library(small, ["zoneinfo"])


def test_the_same_library_gives_the_same_bytes() -> None:
    """Cutting twice, in whatever order the modules are named, gives the same archive."""
    modules = sorted(needed_modules([]))

    assert cut_library(COMPILED, modules) == cut_library(COMPILED, modules[::-1])


def test_the_start_was_measured_with_these_files() -> None:
    """The list of the start's modules is what the vendored Pyodide imports when it starts now."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("node is not on this machine; the browser tests start the cut library too")
    lister = PYODIDE.parent / "list_startup_modules.mjs"
    done = subprocess.run([node, str(lister), str(PYODIDE)], capture_output=True, text=True, check=True)

    assert done.stdout == STARTUP.read_text(encoding="utf-8")


def test_the_imports_were_read_from_these_files() -> None:
    """The list of what the library's modules import is what the vendored library says now; a later Python
    may read a module better, and find less in it."""
    listed, now = (
        {name: set(found) for name, *found in map(str.split, text.splitlines())}
        for text in (IMPORTS.read_text(encoding="utf-8"), library_imports(LIBRARY))
    )

    assert listed.keys() == now.keys()
    assert {name for name in now if now[name] - listed[name]} == set()
    assert {name for name in now if listed[name] != now[name]} <= BEYOND_PYTHON_3_11


def test_the_compiled_library_is_the_library() -> None:
    """Every module of the library is in the compiled one, and a sample is what this Pyodide compiles now."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("node is not on this machine; the browser tests start the compiled library too")
    with zipfile.ZipFile(LIBRARY) as sources, zipfile.ZipFile(COMPILED) as compiled:
        modules = [name for name in sources.namelist() if name.endswith(".py")]
        assert sorted(f"{name}c" for name in modules) == sorted(compiled.namelist())
    sample = random.Random(SEED).sample(modules, 12)
    checker = Path(__file__).with_name("compare_compiled.mjs")
    command = [node, str(checker), str(PYODIDE), *sample]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == dict.fromkeys(sample, True)


def test_every_calculator_answers_from_the_cut_library(site: Path, project: Path) -> None:
    """The runtime as deployed starts and answers the first case of each calculator as this Python does."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("node is not on this machine; the browser tests start the cut library too")
    from calculators.answering import NAMES, run
    from calculators.shared.words import read_words

    inputs = {}
    for name in NAMES:
        cases = json.loads((project / f"tests/cases/{name}.json").read_text(encoding="utf-8"))
        inputs[name] = json.dumps(cases[0]["input"])
    asked = subprocess.run(
        [node, str(ASK), str(site / "half-turn")],
        input=json.dumps(inputs),
        capture_output=True,
        text=True,
        check=True,
    )

    words = read_words((project / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    assert json.loads(asked.stdout) == {name: run(name, text, words) for name, text in inputs.items()}
