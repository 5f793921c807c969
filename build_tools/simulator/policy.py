"""A person who does what the turn plan says and nothing else, from the first run to the end of the visit."""

from __future__ import annotations

import numpy as np

from build_tools.simulator.asking import Advice, advice
from build_tools.simulator.conditions import Condition
from build_tools.simulator.replies import reply
from build_tools.simulator.visit import Visit, begin

FIRST_RUNS = 3
"""Runs at a new setting before anyone asks, as the book has it."""
MOST_FOLDS = 120
MOST_QUESTIONS = 30
"""A visit that is still going on then has no end; that is counted as a fault of the plan."""


def followed(condition: Condition, seed: int, number: int) -> Visit:
    """Return visit `number` of a seeded series, carried through to its end."""
    visit = begin(condition, np.random.default_rng([seed, number]))
    while not visit.ended:
        _time_here(visit)
        told = advice(visit)
        while told.question and visit.asked < MOST_QUESTIONS:
            reply(visit, told.question)
            told = advice(visit)
        _do(visit, told)
    return visit


def _time_here(visit: Visit) -> None:
    """Time three runs at a new setting, one more at a known one."""
    for _ in range(max(1, FIRST_RUNS - len(visit.at(visit.entered)))):
        visit.time_a_run()


def _do(visit: Visit, told: Advice) -> None:
    if told.predictions:
        settings = [run.half_turns for run in visit.runs]
        visit.foretold = (min(settings), max(settings), told.predictions)
    if told.question or visit.folds > MOST_FOLDS:
        visit.ended = "endless"
    elif told.stop:
        visit.ended = told.stop
    elif told.do_now:
        visit.turn(told.do_now)
    elif told.leave:
        visit.ended = "left-for-now" if told.for_now else "left"
