"""Try the turn plan on invented visits to invented levelers, and print what comes of it row by row."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor

from build_tools.commands.verbs import say
from build_tools.faults import Fault
from build_tools.simulator.conditions import CONDITIONS
from build_tools.simulator.measures import LOOKED_AT, Outcome, Row, outcome
from build_tools.simulator.policy import followed

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


def run(arguments: Sequence[str]) -> int:
    """Simulate the conditions asked for and print a table in Markdown. Returns 0."""
    parser = argparse.ArgumentParser(prog="build_tools simulate", description=__doc__)
    parser.add_argument("conditions", nargs="*", metavar="CONDITION", help=", ".join(CONDITIONS))
    parser.add_argument("--visits", type=int, default=20_000, help="visits of a row (default: 20000)")
    parser.add_argument("--seed", type=int, default=12, help="where chance begins (default: 12)")
    wanted = parser.parse_args(arguments)
    if unknown := set(wanted.conditions) - set(CONDITIONS):
        raise Fault(
            f"No condition is called {', '.join(sorted(unknown))}.", f"name some of: {', '.join(CONDITIONS)}."
        )
    begun = time.monotonic()
    say(_line(HEADS))
    say(_line(["---"] * len(HEADS)))
    for row in rows(wanted.conditions or list(CONDITIONS), wanted.visits, wanted.seed):
        say(_line(_cells(row)))
    say(f"\nSeed {wanted.seed}, {(time.monotonic() - begun) / 60:.1f} min. {EXPLAINED}")
    return 0


EXPLAINED = (
    "good: closed inside the window or within 0.2 s of it. > 0.2 s, > 0.4 s: of the closed ones. "
    "turns above: half turns above the fewest, mean of the closed. runs, most: at one setting. "
    "covered: a new timing inside its 95 % prediction, one and three half turns ahead. "
    "caught by: stopped by so many runs, of the visits that went on so long (and of all). "
    "before 4th: stopped before a fourth half turn away from as found, of those that turned."
)


def rows(names: Sequence[str], visits: int, seed: int) -> Iterator[Row]:
    """Yield the rows one by one, each when all its visits are over."""
    with ProcessPoolExecutor(PROCESSES) as pool:
        for name in names:
            count = max(LEAST, round(visits * CONDITIONS[name].share))
            starts = range(0, count, PIECE)
            pieces = pool.map(
                outcomes,
                [name] * len(starts),
                [seed] * len(starts),
                starts,
                [min(start + PIECE, count) for start in starts],
            )
            yield Row(name, CONDITIONS[name].sound, [each for piece in pieces for each in piece])


def outcomes(name: str, seed: int, first: int, end: int) -> list[Outcome]:
    """Carry visits `first` up to `end` of a condition through."""
    return [outcome(followed(CONDITIONS[name], seed, number)) for number in range(first, end)]


def _cells(row: Row) -> list[str]:
    mean_runs, most_runs = row.runs_a_setting
    caught = [row.caught_by(runs) for runs in LOOKED_AT]
    faulty = [f"{went_on:.1%} ({whole:.1%})" if not row.sound else "" for went_on, whole in caught]
    ends = ", ".join(f"{name} {count}" for name, count in row.ends.most_common())
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
        ends,
    ]


def _line(cells: Sequence[str]) -> str:
    return f"| {' | '.join(cells)} |"
