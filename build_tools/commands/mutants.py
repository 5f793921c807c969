"""Change each line of the calculators a little, and see that a test finds it."""

from __future__ import annotations

import argparse
import importlib.metadata
import math
import platform
import re
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

import pytest

from build_tools.commands.environment import PROJECT
from build_tools.commands.faults import Fault
from build_tools.commands.mutant_source import Mutant, MutatedModules
from build_tools.commands.mutant_trial import Trial, Verdict
from build_tools.commands.verbs import say

RECORD = PROJECT / "tests/mutants.md"
NOT_MUTATED = ("calculators", "calculators.__main__")
"""The command is tested in a process of its own, which knows no mutants."""
LONGEST_S = 2.0
"""A mutant gets its quickest tests, so many seconds of them; one that is asked for by its name gets all."""
LEFT = ("survived", "no test")
ARGUMENTS = ("tests/calculators", "--ignore=tests/calculators/test_command.py",
             "--hypothesis-profile=mutants", "--assert=plain", "--capture=no",
             "-p", "no:terminal", "-p", "no:cacheprovider")


def run(arguments: Sequence[str]) -> int:
    """Try all mutants, or those named; 0 where tests/mutants.md explains what is left."""
    parser = argparse.ArgumentParser(prog="build_tools mutants", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME", help="a module or a mutant (default: all)")
    parser.add_argument("--mutmut", metavar="FOLDER", help="where mutmut and libcst lie, if not in .venv")
    wanted = parser.parse_args(arguments)
    if wanted.mutmut:
        sys.path.append(wanted.mutmut)  # last: nothing there may stand in for what is locked
    mutated = MutatedModules(chosen_sources(wanted.names))
    sys.meta_path.insert(0, mutated)
    known = explained(RECORD.read_text(encoding="utf-8"))

    def tell(mutant: Mutant, verdict: Verdict) -> None:
        if verdict in LEFT:
            mark = "" if mutant.short in known else "NEW "
            say(f"{mark}{mutant.short} {verdict}: {mutated.change(mutant)}")

    mutants = [each for each in mutated.mutants if is_chosen(each, wanted.names)]
    one_by_one = {mutant.short for mutant in mutants} == set(wanted.names)
    trial = Trial(mutants, tell, say, longest_s=math.inf if one_by_one else LONGEST_S)
    code = pytest.main([*ARGUMENTS, f"--rootdir={PROJECT}"], plugins=[trial])
    if code != pytest.ExitCode.OK:
        raise Fault("The tests do not run.", "python3 -m build_tools test tests/calculators")
    say(report(trial.verdicts, f"mutmut {importlib.metadata.version('mutmut')}"))
    left = {mutant.short for mutant, verdict in trial.verdicts.items() if verdict in LEFT}
    found = {mutant.short for mutant in trial.verdicts} & known - left
    say(f"{len(left)} left, {len(left - known)} of them without a reason in tests/mutants.md.")
    say(f"{len(found)} of those with a reason are found now: {', '.join(sorted(found)) or 'none'}.")
    return 1 if left - known else 0


def sources() -> dict[str, Path]:
    """Return the file of each module of the calculators."""
    files = sorted((PROJECT / "calculators").glob("*.py"))
    named = {f"calculators.{file.stem}".removesuffix(".__init__"): file for file in files}
    return {name: file for name, file in named.items() if name not in NOT_MUTATED}


def chosen_sources(names: Sequence[str]) -> dict[str, Path]:
    """Return the files of the modules named, alone or by a mutant. Raises Fault where there is none such."""
    found = {name.removeprefix("calculators."): name for name in sources()}
    modules = {name.partition(".")[0] for name in names} or set(found)
    if unknown := sorted(modules - set(found)):
        raise Fault(f"calculators/ has no module {unknown[0]}.", f"one of: {', '.join(sorted(found))}")
    return {found[name]: sources()[found[name]] for name in sorted(modules)}


def is_chosen(mutant: Mutant, names: Sequence[str]) -> bool:
    """Tell whether a mutant, or its module, was asked for."""
    return not names or mutant.short in names or mutant.short.partition(".")[0] in names


def report(verdicts: Mapping[Mutant, Verdict], version: str) -> str:
    """Return the table: each module, then all, with the versions it was found with."""
    modules = sorted({mutant.module for mutant in verdicts})
    tried = {mutant: verdict for mutant, verdict in verdicts.items() if verdict != "at import"}
    rows = [row(name, [verdict for mutant, verdict in tried.items() if mutant.module == name])
            for name in modules]
    total = row("all", list(tried.values()))
    versions = f"Python {platform.python_version()}, {version}"
    unseen = len(verdicts) - len(tried)
    head = ["| module | mutants | killed | % |", "| --- | ---: | ---: | ---: |"]
    return "\n".join([versions, "", *head, *rows, total, "",
                      f"{unseen} more stand in functions that run only while a module is read."])


def row(name: str, verdicts: Sequence[Verdict]) -> str:
    """Return one line of the table."""
    killed = sum(verdict in ("killed", "timeout") for verdict in verdicts)
    share = f"{100 * killed / len(verdicts):.1f}" if verdicts else "-"
    return f"| {name.removeprefix('calculators.')} | {len(verdicts)} | {killed} | {share} |"


def explained(text: str) -> set[str]:
    """Return the names of mutants that a text names in backticks."""
    return set(re.findall(r"`(\w+\.x[\wǁ]*__mutmut_\d+)`", text))
