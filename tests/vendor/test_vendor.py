"""The vendored files: what is there is what was fetched, and a refresh believes nothing unverified."""

from __future__ import annotations

import base64
import gzip
import hashlib
import io
import json
import shutil
import subprocess
import sys
import tarfile
from pathlib import Path

import pytest

from build_tools.faults import Fault
from build_tools.vendor import axe, cut_exports, derived, idb, package, refresh

FILES = {
    "pyodide.mjs": b"export {};",
    "pyodide.asm.mjs": b"export {};",
    "pyodide.asm.wasm": b"\0asm",
    "python_stdlib.zip": b"PK",
    "pyodide-lock.json": json.dumps({"info": {"python": "3.14.2"}, "packages": {"numpy": {}}}).encode(),
    "console.html": b"<html>",
}
VERSION_KEYS = ["package", "version", "date", "archive integrity", "licence"]


def write_package(path: Path) -> str:
    """Write an npm archive and return its integrity."""
    with tarfile.open(path, "w:gz") as archive:
        for name, content in FILES.items():
            entry = tarfile.TarInfo(f"package/{name}")
            entry.size = len(content)
            archive.addfile(entry, io.BytesIO(content))
    return "sha512-" + base64.b64encode(hashlib.sha512(path.read_bytes()).digest()).decode("ascii")


@pytest.mark.parametrize("folder", [refresh.FOLDER, axe.FOLDER, idb.FOLDER], ids=lambda folder: folder.name)
def test_the_vendored_files_are_the_listed_ones(folder: Path) -> None:
    """SHA256SUMS names every vendored file, and each has that hash."""
    lines = (folder / "SHA256SUMS").read_text(encoding="utf-8").splitlines()
    listed = dict(reversed(line.split("  ")) for line in lines)

    found = {path.name for path in folder.iterdir()} - {"SHA256SUMS"}
    assert found == set(listed)
    assert {name: hashlib.sha256((folder / name).read_bytes()).hexdigest() for name in found} == listed


def test_licence_and_version_lie_beside_them() -> None:
    """The licences are whole texts, and VERSION names package, version, integrity and licence."""
    texts = {
        name: (refresh.FOLDER / name).read_text(encoding="utf-8") for name in (*refresh.LICENCES, "VERSION")
    }

    assert texts["LICENSE"].startswith("Mozilla Public License Version 2.0")
    assert "PYTHON SOFTWARE FOUNDATION LICENSE VERSION 2" in texts["LICENSE-PYTHON"]
    assert version_keys(texts["VERSION"]) == VERSION_KEYS


def test_axe_core_has_its_licences_too() -> None:
    """Both licences of axe-core are whole texts, and VERSION names the same things as Pyodide's."""
    texts = {name: (axe.FOLDER / name).read_text(encoding="utf-8") for name in (*axe.KEPT, "VERSION")}

    assert texts["LICENSE"].lstrip().startswith("Mozilla Public License, version 2.0")
    assert "MIT License" in texts["LICENSE-3RD-PARTY.txt"]
    assert version_keys(texts["VERSION"]) == VERSION_KEYS


def version_keys(text: str) -> list[str]:
    """The first words of the lines at the head of a VERSION file."""
    return [line.partition(":")[0] for line in text.splitlines()[:5]]


def test_the_cut_runtime_is_the_vendored_one_without_exports() -> None:
    """Cutting the vendored files again gives the served ones: the same sections, but fewer exports."""
    glue, loader = ((refresh.FOLDER / name).read_text("utf-8") for name in (derived.GLUE, derived.LOADER))
    whole = (refresh.FOLDER / derived.MODULE).read_bytes()
    served = (refresh.FOLDER / derived.CUT_MODULE).read_bytes()

    assert cut_exports.cut(glue, whole, loader) == (
        (refresh.FOLDER / derived.CUT_GLUE).read_text(encoding="utf-8"),
        served,
    )
    assert set(cut_exports.exports_of(served)) < set(cut_exports.exports_of(whole))
    assert len(cut_exports.exports_of(served)) < len(cut_exports.exports_of(whole)) / 20
    kinds = zip(cut_exports.sections(whole), cut_exports.sections(served), strict=True)
    assert [mine[0] for mine, theirs in kinds if mine != theirs] == [cut_exports.EXPORT_SECTION]


# Written by hand after the WebAssembly Core Specification 2.0, section 5.5: three functions that give 1, 2
# and 3, exported as a, b and long. Node.js compiles it and what is cut of it.
EXPORTING = bytes.fromhex(
    "0061736d01000000"  # magic and version
    "010501600001 7f"  # one type: nothing to i32
    "0304030000 00"  # three functions of it
    "0710 03 0161 00 00 0162 00 01 046c6f6e67 00 02"  # three exports
    "0a10 03 0400 4101 0b 0400 4102 0b 0400 4103 0b"  # their bodies
)
CALL = """
const module = new WebAssembly.Module(Buffer.from(process.argv[1], "hex"));
const { exports } = new WebAssembly.Instance(module);
console.log(JSON.stringify(Object.entries(exports).map(([name, call]) => [name, call()])));
"""


@pytest.mark.skipif(shutil.which("node") is None, reason="Node.js is not installed")
@pytest.mark.parametrize(
    ("wanted", "called"),
    [
        ({"a", "b", "long"}, [["a", 1], ["b", 2], ["long", 3]]),
        ({"long", "not there"}, [["long", 3]]),
        (set(), []),
    ],
)
def test_a_module_keeps_the_exports_that_are_wanted(wanted: set[str], called: list[list[object]]) -> None:
    """Node.js, which is not ours, finds the wanted exports in a cut module, and they do what they did."""
    cut = cut_exports.cut_module(EXPORTING, wanted)

    done = subprocess.run(["node", "-e", CALL, cut.hex()], capture_output=True, text=True, check=True)
    assert json.loads(done.stdout) == called
    assert cut_exports.exports_of(cut) == [name for name, _ in called]


GLUE = (
    "var _used,_plain,_gone,_data;"
    'function assignWasmExports(wasmExports){_used=Module["_used"]=wasmExports["used"];'
    '_plain=wasmExports["plain"];'
    '_gone=Module["_gone"]=wasmExports["gone"];_data=Module["_data"]=wasmExports["data"].value>>>0}'
    "function applySignatureConversions(wasmExports){wasmExports=Object.assign({},wasmExports);"
    'wasmExports["used"]=makeWrapper_p(wasmExports["used"]);'
    'wasmExports["gone"]=makeWrapper_pp(wasmExports["gone"]);'
    "return wasmExports}"
    "function run(){_used(Module._plain)}"
)


def test_the_glue_takes_in_what_is_used() -> None:
    """An export goes, with its variable and its wrapper, where no other text names either of them."""
    glue, _ = cut_exports.cut(GLUE, EXPORTING, "api._data")

    assert glue == (
        "var _used,_plain,_data;"
        'function assignWasmExports(wasmExports){_used=Module["_used"]=wasmExports["used"];'
        '_plain=wasmExports["plain"];_data=Module["_data"]=wasmExports["data"].value>>>0}'
        "function applySignatureConversions(wasmExports){wasmExports=Object.assign({},wasmExports);"
        'wasmExports["used"]=makeWrapper_p(wasmExports["used"]);'
        "return wasmExports}"
        "function run(){_used(Module._plain)}"
    )


@pytest.mark.parametrize("other", ["", GLUE.replace('wasmExports["plain"]', "wasmExports.plain")])
def test_a_glue_written_otherwise_is_refused(other: str) -> None:
    """A version whose glue is laid out anew stops the refresh; nothing is guessed."""
    with pytest.raises(Fault, match=r"^Pyodide's glue takes its exports in otherwise than it did\.\n"):
        cut_exports.cut(other, EXPORTING)


def test_a_packed_copy_holds_the_very_file() -> None:
    """Each packed copy unpacks to the file beside it, and is found by the file's content alone."""
    for name in derived.SQUEEZED:
        plain = (refresh.FOLDER / name).read_bytes()
        packed = derived.packed_copy(hashlib.sha256(plain).hexdigest(), refresh.FOLDER)
        assert packed is not None
        assert gzip.decompress(packed) == plain
        other = hashlib.sha256(plain + b"x").hexdigest()
        assert derived.packed_copy(other, refresh.FOLDER) is None


def test_without_zopfli_nothing_is_packed_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where zopfli is missing, a refresh says how to get it instead of packing larger."""
    monkeypatch.setitem(sys.modules, "zopfli.gzip", None)
    with pytest.raises(Fault, match=r"^Vendored files are packed with zopfli, which is not installed\.\n"):
        derived.squeezed(b"any")


def test_the_lock_lists_no_package() -> None:
    """Pyodide is told of no package, because none is served: it cannot try to load one."""
    lock = json.loads((refresh.FOLDER / "pyodide-lock.json").read_text(encoding="utf-8"))

    assert lock["packages"] == {}
    assert lock["info"]["platform"].startswith("emscripten")


def test_a_refresh_takes_what_is_needed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A refresh takes the needed files as they are, empties the lock, writes version and hashes."""
    folder = tmp_path / "pyodide"
    folder.mkdir()
    for name in refresh.LICENCES:
        (folder / name).write_text(name, encoding="utf-8")
    archive = tmp_path / "pyodide-1.2.3.tgz"
    integrity = write_package(archive)
    monkeypatch.setattr(refresh, "fetch", lambda package, version, scratch: (archive, integrity))
    monkeypatch.setattr(refresh, "derive", lambda folder: [(folder / name).touch() for name in derived.MADE])

    written = refresh.refresh("1.2.3", date="2026-11-25", folder=folder)

    assert sorted(path.name for path in folder.iterdir()) == sorted([*written, "SHA256SUMS"])
    assert {name: (folder / name).read_bytes() for name in refresh.AS_THEY_ARE} == {
        name: FILES[name] for name in refresh.AS_THEY_ARE
    }
    assert json.loads((folder / refresh.LOCK).read_text(encoding="utf-8"))["packages"] == {}
    assert f"version: 1.2.3\ndate: 2026-11-25\narchive integrity: {integrity}\n" in (
        folder / "VERSION"
    ).read_text(encoding="utf-8")


def test_other_bytes_than_announced_replace_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An archive that is not what npm announced is refused before a file is written."""
    archive = tmp_path / "pyodide-1.2.3.tgz"
    answer = json.dumps([{"filename": archive.name, "integrity": write_package(archive)}])
    archive.write_bytes(archive.read_bytes() + b"x")
    play_npm(monkeypatch, subprocess.CompletedProcess([], 0, answer, ""))
    with pytest.raises(Fault, match=r"^The fetched archive of pyodide is not what npm announced \(sha512 "):
        package.fetch("pyodide", "1.2.3", tmp_path)


def test_npms_failure_is_told_in_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where npm fails, its last line is shown; where it is missing, what to install."""
    failed = subprocess.CompletedProcess([], 1, "", "npm error code ETARGET\nnpm error no such version\n")
    play_npm(monkeypatch, failed)
    with pytest.raises(Fault) as stopped:
        package.fetch("pyodide", "9.9.9", tmp_path)
    monkeypatch.setattr(package.shutil, "which", lambda name: None)
    with pytest.raises(Fault) as missing:
        package.fetch("pyodide", "9.9.9", tmp_path)

    assert str(stopped.value) == (
        "npm could not fetch pyodide 9.9.9: npm error no such version\n"
        "  fix: check the version and the network."
    )
    assert str(missing.value) == (
        "npm is not installed, and fetching pyodide needs it.\n  fix: install Node.js with npm."
    )


def play_npm(monkeypatch: pytest.MonkeyPatch, done: subprocess.CompletedProcess[str]) -> None:
    """Let npm be there and answer `done` to whatever it is asked."""
    monkeypatch.setattr(package.shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(package.subprocess, "run", lambda *_, **__: done)
