"""The set-up of .venv: what is done once, what is done again, and what is left alone."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Iterator, Sequence
from dataclasses import replace
from importlib.util import cache_from_source
from pathlib import Path

import pytest

from build_tools.faults import Fault
from build_tools.setting_up import set_up as module
from build_tools.setting_up.environment import READY, UNDER_WAY, Environment, Mark
from build_tools.setting_up.one_at_a_time import one_at_a_time
from build_tools.setting_up.set_up import set_up
from tests.commands.bare_project import make_played_venv, pip_calls, start

NO_MORE = "[3/3] Adding this project to .venv"


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[list[str]]]:
    """Notes what ensurepip and pip are asked to do instead of doing it."""
    asked: list[list[str]] = []

    def note(python: Path, arguments: Sequence[str], **_: object) -> None:
        asked.append(list(arguments))

    monkeypatch.setattr(module, "run_module", note)
    yield asked


def run_set_up(project: Path, level: str = "book") -> list[str]:
    """Set up `project` and return what a person reads."""
    said: list[str] = []
    set_up(level, Environment(project), said.append)
    return said


def test_the_first_run_makes_venv_and_installs_the_lock(bare: Path, calls: list[list[str]]) -> None:
    """A first run makes .venv with pip, installs the lock by hash, then the project, and tells each step."""
    said = run_set_up(bare)

    lock = str(bare / "build_tools/setting_up/requirements/book.txt")
    assert calls == [
        ["ensurepip", "--default-pip"],
        ["pip", "install", "--progress-bar", "off", "--require-hashes", "-r", lock],
        ["pip", "install", "--no-deps", "--no-build-isolation", "--no-index", "--editable", str(bare)],
    ]
    number = len(Environment(bare).packages("book"))
    assert said[:3] == [
        "[1/3] Making .venv",
        f"[2/3] Installing {number} packages, each checked against its locked hash",
        NO_MORE,
    ]
    assert said[3].startswith("Set-up done in ") and len(said) == 4


def test_our_modules_are_compiled_like_installed_ones(bare: Path, calls: list[list[str]]) -> None:
    """After the set-up our modules are compiled, also where Python is told to write nothing by itself."""
    run_set_up(bare)

    modules = list((bare / "build_tools/commands").glob("*.py"))
    assert [path for path in modules if not Path(cache_from_source(str(path))).is_file()] == []


def test_the_second_run_calls_no_pip(bare: Path, calls: list[list[str]]) -> None:
    """Once .venv fits the lock, a run finds that out without pip and says nothing."""
    run_set_up(bare)
    calls.clear()

    assert run_set_up(bare) == []
    assert calls == []


def test_the_second_run_calls_no_pip_from_the_keyboard(bare: Path) -> None:
    """The same through the real command: the second run starts the verb at once."""
    make_played_venv(bare)
    (bare / "build_tools/commands/build.py").write_text(
        "def run(words):\n    print(words)\n    return 0\n", encoding="utf-8"
    )
    first, calls = start(bare, "build", "--into", "x"), pip_calls(bare)
    second = start(bare, "build", "--into", "x")

    assert first.stdout.splitlines()[-1] == second.stdout.strip() == "['--into', 'x']"
    assert [call.split()[0] for call in calls] == ["install", "install"]
    assert pip_calls(bare) == calls


def test_a_first_test_makes_one_installation(bare: Path) -> None:
    """In a fresh copy `test` installs its own lock, which holds the book's, and the project: no more."""
    make_played_venv(bare)
    (bare / "build_tools/commands/test.py").write_text(
        "def run(words):\n    print(words)\n    return 0\n", encoding="utf-8"
    )
    words = ["tests/calculators/shared/test_words.py"]
    first = start(bare, "test", *words)
    lock = bare / "build_tools/setting_up/requirements/tests.txt"

    assert first.stdout.splitlines()[-1] == str(words)
    assert pip_calls(bare) == [
        f"install --progress-bar off --require-hashes -r {lock}",
        f"install --no-deps --no-build-isolation --no-index --editable {bare}",
    ]
    assert set(Environment(bare).packages("book")) < set(Environment(bare).packages("tests"))


@pytest.mark.parametrize("name", ["build_tools/setting_up/requirements/book.txt", "pyproject.toml"])
def test_a_changed_lock_installs_again(bare: Path, calls: list[list[str]], name: str) -> None:
    """Other requirements or other metadata are installed over what is there, without making .venv anew."""
    run_set_up(bare)
    calls.clear()
    with (bare / name).open("a", encoding="utf-8") as file:
        file.write("# changed\n")

    assert run_set_up(bare)[0] == "[1/3] .venv is there"
    assert [call[:2] for call in calls] == [["pip", "install"], ["pip", "install"]]


def test_a_package_that_left_the_lock_is_taken_away(bare: Path, calls: list[list[str]]) -> None:
    """What only the old lock named does not stay behind, where it could hide that it is missing."""
    run_set_up(bare)
    environment = Environment(bare)
    mark = environment.mark()
    assert mark is not None
    environment.write_mark(replace(mark, locks={"book": "another"}, packages=(*mark.packages, "left-pad")))
    calls.clear()
    run_set_up(bare)

    assert ["pip", "uninstall", "--yes", "left-pad"] in calls


def test_tests_need_more_than_the_book(bare: Path, calls: list[list[str]]) -> None:
    """After a set-up for the book, the tests install theirs; after that, both are ready."""
    run_set_up(bare)
    calls.clear()
    run_set_up(bare, "tests")

    assert calls[0][-1] == str(bare / "build_tools/setting_up/requirements/tests.txt")
    assert [Environment(bare).is_ready(level) for level in ("book", "tests")] == [True, True]


def test_a_changed_book_lock_keeps_the_tests_packages(bare: Path, calls: list[list[str]]) -> None:
    """Where the tests were set up once, a change of the lock brings them up to date as well."""
    run_set_up(bare, "tests")
    calls.clear()
    with (bare / "pyproject.toml").open("a", encoding="utf-8") as file:
        file.write("# changed\n")
    run_set_up(bare)

    assert calls[0][-1] == str(bare / "build_tools/setting_up/requirements/tests.txt")


def test_a_set_up_that_was_cut_off_is_done_anew(bare: Path, calls: list[list[str]]) -> None:
    """A .venv that a killed run left half filled is thrown away, not trusted."""
    run_set_up(bare)
    environment = Environment(bare)
    mark = environment.mark()
    assert mark is not None
    environment.write_mark(replace(mark, state=UNDER_WAY))
    half = environment.folder / "half-copied.py"
    half.write_text("", encoding="utf-8")
    calls.clear()
    said = run_set_up(bare)

    assert said[:2] == [
        "An earlier set-up was cut off. Making .venv again; what pip has fetched is kept.",
        "[1/3] Making .venv",
    ]
    assert calls[0] == ["ensurepip", "--default-pip"]
    assert not half.exists()


def test_a_failing_pip_leaves_a_set_up_that_begins_again(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After a failed installation the next run does not take .venv for complete."""

    def fail(python: Path, arguments: Sequence[str], **_: object) -> None:
        if arguments[0] == "pip":
            raise Fault("The disk is full.", "free some.")

    monkeypatch.setattr(module, "run_module", fail)
    with pytest.raises(Fault, match=r"^The disk is full\.\n  fix: free some\.$"):
        run_set_up(bare)

    mark = Environment(bare).mark()
    assert mark is not None and mark.state == UNDER_WAY


@pytest.mark.parametrize("change", [{"project": "/elsewhere"}, {"python": "/usr/bin/python3.0"}])
def test_a_venv_of_another_place_or_python_is_made_again(
    bare: Path, calls: list[list[str]], change: dict[str, str]
) -> None:
    """A project that was moved, or whose Python was replaced by the system, gets a new .venv."""
    run_set_up(bare)
    environment = Environment(bare)
    mark = environment.mark()
    assert mark is not None
    environment.write_mark(replace(mark, **change))  # type: ignore[arg-type]
    said = run_set_up(bare)

    assert said[0] == ".venv was made for another folder or another Python. Making it again."


def test_a_venv_without_its_interpreter_is_made_again(bare: Path, calls: list[list[str]]) -> None:
    """A .venv whose Python has gone does not count as ready."""
    run_set_up(bare)
    Environment(bare).python.unlink()

    assert run_set_up(bare)[0] == ".venv was made for another folder or another Python. Making it again."


def test_somebody_elses_venv_is_used_but_never_deleted(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A .venv without our mark is installed into; where that fails, it is not marked for deletion."""
    make_played_venv(bare)
    own = bare / ".venv/own-notes.txt"
    own.write_text("mine", encoding="utf-8")

    def fail(python: Path, arguments: Sequence[str], **_: object) -> None:
        raise Fault("No network.", "connect.")

    monkeypatch.setattr(module, "run_module", fail)
    for _ in range(2):
        with pytest.raises(Fault, match=r"^No network\."):
            run_set_up(bare)

    assert own.read_text(encoding="utf-8") == "mine"
    assert Environment(bare).mark() is None


def test_a_strange_venv_stops_the_set_up(bare: Path, calls: list[list[str]]) -> None:
    """A .venv that is not ours and has no Python is named, and left as it is."""
    (bare / ".venv").mkdir()
    with pytest.raises(Fault) as stopped:
        run_set_up(bare)

    assert str(stopped.value) == (
        f"{bare}/.venv was not made by this command, and has no Python 3.11 with pip in it.\n"
        "  fix: move or delete that folder, and run the same command again."
    )
    assert calls == []


def test_a_linked_venv_is_never_deleted(bare: Path, tmp_path: Path, calls: list[list[str]]) -> None:
    """A .venv that is a link to another project's environment is refused: it is not ours to make again."""
    other = tmp_path / "other"
    other.mkdir()
    (bare / ".venv").symlink_to(other)
    Environment(bare).write_mark(Mark(READY, "/elsewhere", "/usr/bin/python3"))
    with pytest.raises(
        Fault, match=r"is a link, and does not fit this project as it is now\.\n  fix: remove the link"
    ):
        run_set_up(bare)

    assert (
        json.loads((other / "half-turn-set-up.json").read_text(encoding="utf-8"))["project"] == "/elsewhere"
    )


def test_two_runs_at_once_set_up_once(
    bare: Path, calls: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A second run waits for the first, says so, and then has nothing left to do."""
    quick = module.run_module

    def slow(python: Path, arguments: Sequence[str], **more: object) -> None:
        time.sleep(0.2)
        quick(python, arguments, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(module, "run_module", slow)
    said: dict[int, list[str]] = {}
    runs = [threading.Thread(target=lambda n=n: said.update({n: run_set_up(bare)})) for n in (1, 2)]
    for run in runs:
        run.start()
    for run in runs:
        run.join()

    assert ["Another run is setting up .venv; waiting for it."] in said.values()
    assert [call[0] for call in calls] == ["ensurepip", "pip", "pip"]


def test_the_lock_is_free_after_its_block(tmp_path: Path) -> None:
    """Who takes the lock after another has left it does not wait."""
    said: list[str] = []
    for _ in range(2):
        with one_at_a_time(tmp_path / "lock", said.append):
            pass

    assert said == []


@pytest.mark.parametrize(
    ("error", "text"),
    [
        (
            OSError(28, "No space left on device"),
            "The disk is full.\n"
            "  fix: free about 500 MB on the disk that holds {venv}, and run the same command again.",
        ),
        (
            PermissionError(13, "Permission denied", "{venv}/lib"),
            "No right to write {venv}/lib.\n"
            "  fix: make the folder yours (chown), or copy the project into one that is, and run this again.",
        ),
        (
            OSError(5, "Input/output error"),
            "The set-up could not go on: Input/output error ({venv}).\n"
            "  fix: put that right, and run the same command again.",
        ),
    ],
)
def test_what_the_system_refuses_is_said_in_one_line(
    bare: Path, monkeypatch: pytest.MonkeyPatch, error: OSError, text: str
) -> None:
    """A full disk, a missing right and anything else of the system come with what to do."""
    if error.filename:
        error.filename = error.filename.format(venv=bare / ".venv")

    def refuse(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(module, "run_module", refuse)
    with pytest.raises(Fault) as stopped:
        run_set_up(bare)

    assert str(stopped.value) == text.format(venv=bare / ".venv")
