"""The verbs of `python3 -m build_tools`: what each needs, and how a wrong word is answered."""

from __future__ import annotations

import difflib
import importlib
import sys
import tempfile
import traceback
from collections.abc import Sequence
from dataclasses import dataclass

from build_tools.faults import Fault
from build_tools.setting_up.environment import Environment
from build_tools.setting_up.set_up import go_on_inside, set_up


@dataclass(frozen=True, slots=True)
class Verb:
    """One verb: the level of the set-up it needs, and one line for the list. Its file has the same name."""

    level: str
    does: str


VERBS = {
    "serve": Verb("book", "build the handbook, serve it on this machine, rebuild on every save"),
    "test": Verb("tests", "run every test (extra words go to pytest)"),
    "build": Verb("book", "build the handbook into site/ (--into FOLDER: elsewhere)"),
    "check": Verb("book", "check pages and registers; --fix adds step ids; --record FIGURE --by NAME"),
    "new": Verb("book", 'begin a procedure page: new "Title of the page" (--in FOLDER: elsewhere)'),
    "carry": Verb("book", "write the built handbook as one zip to hand on (--into FILE)"),
    "publish": Verb("book", "record this edition's sentences, so that readers are told what changed"),
    "bench": Verb("tests", "measure sizes and times beside the stock tools, and write the table"),
    "trials": Verb("tests", "try the keeping in full: trials cuts, evict or bytes"),
    "access": Verb("tests", "look at every page and sheet: can everyone read and touch it?"),
    "simulate": Verb("tests", "try both plans on invented visits: simulate [--visits N] [CONDITION ...]"),
    "lock": Verb("tests", "lock the requirements anew (--upgrade: to the newest versions)"),
    "vendor": Verb("book", "fetch another version of pyodide or axe-core: vendor PACKAGE VERSION"),
}


def main(arguments: Sequence[str]) -> int:
    """Run one verb. Returns 0 done, 1 a fault or a failed check, 2 a wrong command line, 130 stopped."""
    try:
        return begin(arguments)
    except Fault as fault:
        print(fault, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return 130
    except BrokenPipeError:
        sys.stderr.close()
        return 1
    except Exception as error:  # noqa: BLE001 - the last place before a person's screen
        print(unknown_fault(error), file=sys.stderr)
        return 1


def begin(arguments: Sequence[str]) -> int:
    """Find the verb, see that .venv has what it needs, and run it there."""
    if not arguments or arguments[0] in ("-h", "--help", "help"):
        print(overview())
        return 0 if arguments else 2
    name = arguments[0]
    if name not in VERBS:
        print(unknown(name), file=sys.stderr)
        return 2
    environment = Environment()
    set_up(VERBS[name].level, environment, say)
    if not environment.is_running():
        go_on_inside(environment)
    run = importlib.import_module(f"build_tools.commands.{name}").run
    return int(run(list(arguments[1:])))


def say(line: str) -> None:
    """Show one line of progress at once."""
    print(line, flush=True)


def overview() -> str:
    """Return the list of verbs."""
    lines = [f"  {name:<9}{verb.does}" for name, verb in VERBS.items()]
    return "\n".join(["python3 -m build_tools VERB", "", *lines])


def unknown(name: str) -> str:
    """Return the answer to a word that is no verb, with the closest one if any is close."""
    close = difflib.get_close_matches(name.lower(), VERBS, n=1)
    fix = f"python3 -m build_tools {close[0]}" if close else f"one of: {', '.join(VERBS)}"
    return f"There is no verb '{name}'.\n  fix: {fix}"


def unknown_fault(error: Exception) -> Fault:
    """Keep the trace of a fault nobody foresaw in a file, and say where it lies."""
    handle, name = tempfile.mkstemp(prefix="half-turn-fault-", suffix=".txt")
    with open(handle, "w", encoding="utf-8") as file:
        traceback.print_exception(error, file=file)
    return Fault(
        f"This command met a fault it does not know: {type(error).__name__}: {error}",
        f"send {name} to whoever looks after the handbook; it tells them where.",
    )
