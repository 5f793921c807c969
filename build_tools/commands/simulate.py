"""Try both plans on invented visits to invented levelers, and print what comes of it row by row."""

from __future__ import annotations

import argparse
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import TypeVar

from build_tools.commands.verbs import say
from build_tools.faults import Fault
from build_tools.simulator.conditions import CONDITIONS
from build_tools.simulator.cycle_measures import CycleOutcome, CycleRow, cycle_outcome
from build_tools.simulator.cycling import WATCHED, followed_cycles
from build_tools.simulator.measures import LOOKED_AT, Outcome, Row, outcome
from build_tools.simulator.policy import followed

Ended = TypeVar("Ended")
PROCESSES = 2
PIECE = 250
"""Visits handed to a process at once."""
LEAST = 100
"""Visits of a row at least, however small its share."""
HEADS = (
    "condition",
    "visits",
    "good",
    "> 0.2 s",
    "> 0.4 s",
    "stopped",
    "by spread",
    "turns above",
    "runs",
    "most",
    "covered 1",
    "covered 3",
    *(f"caught by {runs}" for runs in LOOKED_AT),
    "before 4th",
    "ends",
)
WATCHED_HEADS = (
    "condition",
    "visits",
    "right",
    "closed wrong",
    "far wrong",
    "stopped",
    "turns above",
    "turns",
    "most",
    "cycles",
    "most",
    "past by 1",
    "past by 2",
    "ends",
)


def run(arguments: Sequence[str]) -> int:
    """Simulate the conditions asked for and print a table in Markdown. Returns 0."""
    parser = argparse.ArgumentParser(prog="build_tools simulate", description=__doc__)
    parser.add_argument("conditions", nargs="*", metavar="CONDITION", help=", ".join([*CONDITIONS, *WATCHED]))
    parser.add_argument("--visits", type=int, default=20_000, help="visits of a row (default: 20000)")
    parser.add_argument("--seed", type=int, default=12, help="where chance begins (default: 12)")
    wanted = parser.parse_args(arguments)
    if unknown := set(wanted.conditions) - set(CONDITIONS) - set(WATCHED):
        raise Fault(
            f"No condition is called {', '.join(sorted(unknown))}.",
            f"name some of: {', '.join([*CONDITIONS, *WATCHED])}.",
        )
    names = wanted.conditions or [*CONDITIONS, *WATCHED]
    begun = time.monotonic()
    with ProcessPoolExecutor(PROCESSES) as pool:
        timed = [name for name in names if name in CONDITIONS]
        _table(HEADS, (_cells(_timed_row(pool, name, wanted)) for name in timed))
        watched = [name for name in names if name in WATCHED]
        _table(WATCHED_HEADS, (_cycle_cells(_watched_row(pool, name, wanted)) for name in watched))
    say(f"Seed {wanted.seed}, {(time.monotonic() - begun) / 60:.1f} min. {EXPLAINED}")
    return 0


EXPLAINED = (
    "good: closed inside the window or within 0.2 s of it. > 0.2 s, > 0.4 s: of the closed ones. "
    "turns above: half turns above the fewest, mean of the closed. runs, cycles, most: at one setting. "
    "covered: a new timing inside its 95 % prediction, one and three half turns ahead. "
    "caught by: stopped by so many runs, of the visits that went on so long (and of all). "
    "before 4th: stopped before a fourth half turn away from as found, of those that turned. "
    "right: closed as it should be. far wrong: closed two half turns or more off, or with a fault. "
    "past: visits whose nuts stood so far past the band."
)


def _table(heads: Sequence[str], lines: Iterator[list[str]]) -> None:
    """Print a table, each row when all its visits are over; without rows nothing."""
    for number, cells in enumerate(lines):
        if not number:
            say(_line(heads))
            say(_line(["---"] * len(heads)))
        say(_line(cells))


def _timed_row(pool: ProcessPoolExecutor, name: str, wanted: argparse.Namespace) -> Row:
    count = _count(wanted.visits, CONDITIONS[name].share)
    return Row(name, CONDITIONS[name].sound, _in_pieces(pool, outcomes, name, wanted.seed, count))


def _watched_row(pool: ProcessPoolExecutor, name: str, wanted: argparse.Namespace) -> CycleRow:
    count = _count(wanted.visits, WATCHED[name].share)
    return CycleRow(name, _in_pieces(pool, cycle_outcomes, name, wanted.seed, count))


def _count(visits: int, share: float) -> int:
    return max(LEAST, round(visits * share))


def _in_pieces(
    pool: ProcessPoolExecutor,
    carried_through: Callable[[str, int, int, int], list[Ended]],
    name: str,
    seed: int,
    count: int,
) -> list[Ended]:
    """Carry `count` visits of a condition through, PIECE at a time."""
    starts = range(0, count, PIECE)
    ends = [min(start + PIECE, count) for start in starts]
    pieces = pool.map(carried_through, [name] * len(starts), [seed] * len(starts), starts, ends)
    return [each for piece in pieces for each in piece]


def outcomes(name: str, seed: int, first: int, end: int) -> list[Outcome]:
    """Carry visits `first` up to `end` of a condition of the turn plan through."""
    return [outcome(followed(CONDITIONS[name], seed, number)) for number in range(first, end)]


def cycle_outcomes(name: str, seed: int, first: int, end: int) -> list[CycleOutcome]:
    """Carry visits `first` up to `end` of a condition of the mainspring plan through."""
    return [cycle_outcome(followed_cycles(WATCHED[name], seed, number)) for number in range(first, end)]


def _cells(row: Row) -> list[str]:
    mean_runs, most_runs = row.runs_a_setting
    caught = [row.caught_by(runs) for runs in LOOKED_AT]
    faulty = [f"{went_on:.1%} ({whole:.1%})" if not row.sound else "" for went_on, whole in caught]
    return [
        row.name,
        str(len(row.outcomes)),
        f"{row.good:.2%}",
        *(f"{1000 * row.closed_beyond(seconds):.2f} in 1,000" for seconds in (0.2, 0.4)),
        f"{row.ended():.2%}",
        f"{row.ended('spread'):.2%}",
        f"{row.turns_above_least:.3f}",
        f"{mean_runs:.2f}",
        str(most_runs),
        f"{row.coverage(1):.1%}",
        f"{row.coverage(3):.1%}",
        *faulty,
        "" if row.sound else f"{row.caught_soon:.1%}",
        _ends(row.ends),
    ]


def _cycle_cells(row: CycleRow) -> list[str]:
    return [
        row.name,
        str(len(row.outcomes)),
        f"{row.right:.2%}",
        f"{row.closed_wrong:.2%}",
        f"{row.closed_far_off:.2%}",
        f"{row.stopped:.2%}",
        f"{row.turns_above_least:.3f}",
        f"{row.turns[0]:.2f}",
        str(row.turns[1]),
        f"{row.cycles_a_setting[0]:.2f}",
        str(row.cycles_a_setting[1]),
        *(f"{row.went_past(half_turns):.2%}" for half_turns in (1, 2)),
        _ends(row.ends),
    ]


def _ends(counts: Counter[str]) -> str:
    return ", ".join(f"{name} {count}" for name, count in counts.most_common())


def _line(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"
