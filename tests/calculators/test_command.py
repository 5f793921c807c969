"""The command line as a desk sees it: standard output, standard error and exit status."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from build_tools.places import PROJECT
from calculators.answering import NAMES, run, schema
from calculators.shared.words import read_words

WORDS_FILE = PROJECT / "content/registers/words/en.yml"
GOOD = json.dumps(
    {
        "runs_s": [16.3, 16.5],
        "window_low_s": 18,
        "window_high_s": 20,
        "timing_uncertainty_s": 0.1,
        "confidence": 0.95,
    }
)


def command(*arguments: str, given: bytes = b"") -> tuple[int, str, str]:
    """Run the command without site-packages: the calculators need the standard library alone."""
    done = subprocess.run(
        [sys.executable, "-S", "-m", "calculators", *arguments],
        cwd=PROJECT,
        input=given,
        capture_output=True,
        check=False,
        timeout=60,
    )
    return done.returncode, done.stdout.decode("ascii"), done.stderr.decode()


def refused(*arguments: str, given: bytes = b"") -> list[dict[str, object]]:
    """The errors of a command that exits with 2 and prints one JSON object and nothing else."""
    status, printed, complained = command(*arguments, given=given)
    assert (status, complained, printed.count("\n")) == (2, "", 1)
    answer = json.loads(printed)
    assert list(answer) == ["errors"]
    errors: list[dict[str, object]] = answer["errors"]
    return errors


def test_an_answer() -> None:
    """Good input gives status 0 and the same JSON as the door."""
    words = read_words(WORDS_FILE.read_text(encoding="utf-8"))
    assert command("fold-time", given=GOOD.encode()) == (0, run("fold-time", GOOD, words) + "\n", "")


def test_a_byte_order_mark_is_no_fault() -> None:
    """Some editors put a mark before the text; it is skipped."""
    assert command("fold-time", given=b"\xef\xbb\xbf" + GOOD.encode())[0] == 0


def test_list() -> None:
    """--list prints the names, one a line."""
    assert command("--list") == (0, "".join(f"{name}\n" for name in NAMES), "")


@pytest.mark.parametrize("name", NAMES)
def test_schema(name: str) -> None:
    """--schema prints what the door declares."""
    status, printed, complained = command("--schema", name)
    assert (status, json.loads(printed), complained) == (0, schema(name), "")


def test_another_words_file(tmp_path: Path) -> None:
    """--words takes the sentences from another file."""
    text = WORDS_FILE.read_text(encoding="utf-8").replace("Too quick:", "Trop vite:")
    (tmp_path / "fr.yml").write_text(text, encoding="utf-8")
    _, printed, _ = command("fold-time", "--words", str(tmp_path / "fr.yml"), given=GOOD.encode())
    assert json.loads(printed)["headline"]["text"].startswith("Trop vite: the lip folds in 16.4 s.")


REFUSED = [
    (("fold-time",), b"", "", "Nothing was given. Give the inputs as one JSON object in braces."),
    (("fold-time",), b"\xff{}", "", "The input is not UTF-8 text (byte 1). Save it as UTF-8."),
    (
        ("fold-time",),
        b"{",
        "",
        "The input is not JSON: it cannot be read from line 1, column 2 on. Check quotes, commas "
        "and brackets there.",
    ),
    (("foldtime",), b"", "", "There is no calculator called foldtime. Did you mean fold-time?"),
    (("--schema", "turnplan"), b"", "", "There is no calculator called turnplan. Did you mean turn-plan?"),
    ((), b"", "", f"Name a calculator: {', '.join(NAMES)}."),
]


@pytest.mark.parametrize(("arguments", "given", "field", "message"), REFUSED, ids=str)
def test_refused(arguments: tuple[str, ...], given: bytes, field: str, message: str) -> None:
    """Bad input gives status 2 and one JSON object with the errors, nothing on standard error."""
    errors = refused(*arguments, given=given)
    assert [(error["field"], error["message"]) for error in errors] == [(field, message)]


def test_an_unknown_option_is_refused_in_the_same_shape() -> None:
    """A wrong command line reads like wrong input."""
    message = str(refused("--sing")[0]["message"])
    assert message.startswith("unrecognized arguments: --sing. usage: python3 -m calculators ")


def test_a_words_file_that_cannot_be_used(tmp_path: Path) -> None:
    """A words file that is missing or has a mistake is reported with its path and line."""
    advice = "Give a file written as content/registers/words/en.yml is."
    bad = tmp_path / "bad.yml"
    bad.write_text("a: 1\n", encoding="utf-8")
    assert refused("fold-time", "--words", str(bad)) == [
        {
            "field": "--words",
            "value": str(bad),
            "message": "The words file cannot be used: line 1: expected  code: "
            f"\"sentence\"  but found 'a: 1'. {advice}",
        }
    ]
    (gone,) = refused("fold-time", "--words", str(tmp_path / "gone.yml"))
    assert "No such file" in str(gone["message"])
