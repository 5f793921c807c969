"""The cut standard library: made again the same, and enough for Pyodide and every calculator."""

from __future__ import annotations

import json
import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from build_tools.faults import Fault
from build_tools.places import CALCULATORS, PYODIDE
from build_tools.vendor.cut_library import cut_library, imported_names
from build_tools.vendor.derived import CUT_LIBRARY, LIBRARY

ASK = Path(__file__).with_name("ask_calculators.mjs")
needs_node = pytest.mark.skipif(
    shutil.which("node") is None, reason="node is not on this machine; the browser tests start the cut too"
)
CUT_AGAIN = "cut it again: python3 -m build_tools vendor pyodide VERSION"


def modules_of(library: Path) -> set[str]:
    """The modules of a library in a zip, by their names."""
    with zipfile.ZipFile(library) as archive:
        paths = [path for path in archive.namelist() if path.endswith((".py", ".pyc"))]
    return {path.rpartition(".")[0].removesuffix("/__init__").replace("/", ".") for path in paths}


def test_every_way_to_import_is_seen(tmp_path: Path) -> None:
    """What is imported at the top, in a function, under another name or from a package is named, no more."""
    calculators = tmp_path / "calculators"
    (calculators / "one").mkdir(parents=True)
    (calculators / "__main__.py").write_text("import argparse\n", encoding="utf-8")
    (calculators / "one/rules.py").write_text(
        '"""import taxes"""\nimport math\nfrom calculators.shared import words\n'
        "def late():\n    from a import (\n        b,  # why\n        c as d,\n    )\n"
        "    import e, f.g as h\n",
        encoding="utf-8",
    )

    assert imported_names(calculators) == {"math", "a", "a.b", "a.c", "e", "f.g"}


def test_the_cut_covers_what_the_calculators_import() -> None:
    """Each module of the library that a calculator imports, in functions too, is in the cut."""
    needed = imported_names(CALCULATORS) & modules_of(PYODIDE / LIBRARY)

    assert {"json", "datetime", "difflib"} <= needed
    assert needed - modules_of(PYODIDE / CUT_LIBRARY) == set(), CUT_AGAIN


@needs_node
def test_the_cut_is_made_again_the_same(tmp_path: Path) -> None:
    """The Pyodide that is here cuts and compiles the library that is here to the same bytes."""
    cut_library(PYODIDE, tmp_path / "cut.zip")

    assert (tmp_path / "cut.zip").read_bytes() == (PYODIDE / CUT_LIBRARY).read_bytes(), CUT_AGAIN


@needs_node
def test_a_module_comes_with_all_it_needs(tmp_path: Path) -> None:
    """A module that is named brings what it imports itself; a name that is no module brings nothing."""
    cut_library(PYODIDE, tmp_path / "cut.zip", names=["csv", "csv.reader", "no_such_module"])

    more = modules_of(tmp_path / "cut.zip") - modules_of(PYODIDE / CUT_LIBRARY)
    assert more == {"csv"}
    with zipfile.ZipFile(tmp_path / "cut.zip") as cut:
        entries = cut.infolist()
    assert {(entry.compress_type, entry.date_time) for entry in entries} == {(0, (1980, 1, 1, 0, 0, 0))}


@needs_node
def test_a_library_that_cannot_be_cut_is_told(tmp_path: Path) -> None:
    """A folder without a Pyodide stops the refresh in one line."""
    with pytest.raises(Fault, match=r"^The library cannot be cut under Node\.js: "):
        cut_library(tmp_path, tmp_path / "cut.zip")


@needs_node
def test_every_calculator_answers_from_the_cut_library(site: Path, project: Path) -> None:
    """The runtime as deployed starts and answers the first case of each calculator as this Python does."""
    from calculators.answering import NAMES, run
    from calculators.shared.words import read_words

    inputs = {}
    for name in NAMES:
        cases = json.loads((project / f"tests/cases/{name}.json").read_text(encoding="utf-8"))
        inputs[name] = json.dumps(cases[0]["input"])
    asked = subprocess.run(
        ["node", str(ASK), str(site / "half-turn")],
        input=json.dumps(inputs),
        capture_output=True,
        text=True,
        check=True,
    )

    words = read_words((project / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    assert json.loads(asked.stdout) == {name: run(name, text, words) for name, text in inputs.items()}
