"""What pip prints when it fails becomes one line and a fix. The texts are pip's own, host names changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_tools.setting_up.environment import Environment
from build_tools.setting_up.pip import follow
from build_tools.setting_up.pip_faults import explain
from tests.commands.bare_project import make_played_venv, start

LOG = Path("/project/.venv/half-turn-set-up.log")
NO_NETWORK = """\
WARNING: Retrying (Retry(total=0, connect=None, read=None, redirect=None, status=None)) after connection \
broken by 'NewConnectionError('<pip._vendor.urllib3.connection.HTTPSConnection object at 0x7fc26fdced50>: \
Failed to establish a new connection: [Errno -3] Temporary failure in name resolution')': /simple/backrefs/
ERROR: Could not find a version that satisfies the requirement backrefs==8.3.1 (from versions: none)
ERROR: No matching distribution found for backrefs==8.3.1"""
WRONG_HASH = """\
ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE. If you have updated the package \
versions, please update the hashes. Otherwise, examine the package contents carefully; someone may have \
tampered with them.
    click==8.5.1 from https://files.registry.example/click-8.5.1-py3-none-any.whl (from -r book.txt (line 9)):
        Expected sha256 cbb5376d2006950386f8c6427613334a2acadc5f559cb80e638d00b4df957e37
             Got        8bb5376d2006950386f8c6427613334a2acadc5f559cb80e638d00b4df957e37"""
DISK_FULL = "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device"
NO_RIGHT = """\
ERROR: Could not install packages due to an OSError: [Errno 13] Permission denied: '/project/.venv/lib/x'
Check the permissions."""
OTHER = "Processing x\nERROR: Failed building wheel for x\n\n"

CASES = {
    NO_NETWORK: "No network: the package registry cannot be reached.\n"
    "  fix: connect this machine, and run the same command again; what was fetched is kept.",
    WRONG_HASH: "click==8.5.1 is not the file that was locked (its hash differs). It was not installed.\n"
    "  fix: try another network; if it stays so, tell whoever looks after the handbook.",
    DISK_FULL: "The disk is full.\n"
    "  fix: free about 500 MB on the disk that holds /project/.venv, and run the same command again.",
    NO_RIGHT: "No right to write /project/.venv/lib/x.\n"
    "  fix: make the folder yours (chown), or copy the project into one that is, and run this again.",
    OTHER: f"pip failed: ERROR: Failed building wheel for x\n  fix: read the whole answer in {LOG}",
    "": f"pip failed: it said nothing\n  fix: read the whole answer in {LOG}",
}


@pytest.mark.parametrize("said", CASES, ids=[text.split("\n")[0][:30] for text in CASES.values()])
def test_each_failure_has_its_line(said: str) -> None:
    """Each way that pip fails gets a line of its own, word for word."""
    assert str(explain(said, LOG)) == CASES[said]


def test_a_retry_that_helped_does_not_hide_the_real_failure() -> None:
    """A network warning before a full disk or a wrong hash does not blame the network."""
    retry = NO_NETWORK.splitlines()[0]

    assert str(explain(f"{retry}\n{DISK_FULL}", LOG)) == CASES[DISK_FULL]
    assert str(explain(f"{retry}\n{WRONG_HASH}", LOG)) == CASES[WRONG_HASH]


def test_a_person_reads_the_line_and_never_pips_own_words(bare: Path) -> None:
    """Through the real command: steps on standard output, a fault on standard error, pip's words in a log."""
    make_played_venv(bare, NO_NETWORK)
    done = start(bare, "serve")

    number = len(Environment(bare).packages("book"))
    assert done.returncode == 1
    assert done.stdout.splitlines() == [
        "[1/3] .venv is there",
        f"[2/3] Installing {number} packages, each checked against its locked hash",
    ]
    assert done.stderr == CASES[NO_NETWORK] + "\n"
    log = (bare / ".venv/half-turn-set-up.log").read_text(encoding="utf-8")
    assert "Temporary failure in name resolution" in log


def test_progress_counts_packages_and_megabytes(monkeypatch: pytest.MonkeyPatch) -> None:
    """While pip works, a line now and then says how many packages are found and how much was fetched."""
    monkeypatch.setattr("build_tools.setting_up.pip.SECONDS_BETWEEN_LINES", 0.0)
    output = [
        "Collecting mkdocs==1.6.1 (from -r book.txt (line 364))\n",
        "  Downloading mkdocs-1.6.1-py3-none-any.whl (3.9 MB)\n",
        "Collecting click==8.5.1 (from -r book.txt (line 191))\n",
        "  Downloading click-8.5.1-py3-none-any.whl (126 kB)\n",
        "Installing collected packages: mkdocs, click\n",
        "Successfully installed click-8.5.1 mkdocs-1.6.1\n",
    ]
    said: list[str] = []

    assert follow(output, said.append, 2) == output
    assert said == [
        "      1 of 2 found, 0.0 MB fetched",
        "      1 of 2 found, 3.9 MB fetched",
        "      2 of 2 found, 3.9 MB fetched",
        "      2 of 2 found, 4.0 MB fetched",
        "      all 2 found, 4.0 MB fetched; unpacking",
    ]
