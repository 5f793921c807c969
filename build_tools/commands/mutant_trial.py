"""Try mutants inside one run of pytest: each in its own fork, against the tests that reach its function."""

from __future__ import annotations

import mmap
import os
import resource
import signal
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from itertools import accumulate
from typing import Literal

import pytest
from _pytest.runner import runtestprotocol

from build_tools.commands.mutant_source import Mutant

Verdict = Literal["killed", "timeout", "survived", "no test", "at import"]
SWITCH = "MUTANT_UNDER_TEST"
MOST_MEMORY = 4 * 2**30
"""A mutant that fills lists without end stops here, bytes."""
SLACK_S = 2.0
"""A test may take so much longer than twenty times what it takes without a mutant, s of the processor."""


class Trial:
    """A pytest plugin that runs each test once, then each mutant against the quickest that reached it."""

    def __init__(
        self,
        mutants: Sequence[Mutant],
        tell: Callable[[Mutant, Verdict], None],
        say: Callable[[str], None],
        *,
        longest_s: float,
    ) -> None:
        """Take what is to be told of each mutant and of the run, and how long its tests may take in all."""
        self._mutants = mutants
        self._tell = tell
        self._say = say
        self._longest_s = longest_s
        self._seconds: dict[pytest.Item, float] = {}
        self._reached: dict[str, list[pytest.Item]] = defaultdict(list)
        self._running = mmap.mmap(-1, 8)
        """Shared with the fork: the place of the test that it runs."""
        self.verdicts: dict[Mutant, Verdict] = {}
        os.environ[SWITCH] = "stats"

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Stand in for the usual loop."""
        session.config.option.tbstyle = "native"  # nobody reads why a test failed: the quickest will do
        at_import = hits()
        for item in session.items:
            self._run_once(item)
        for tests in self._reached.values():
            tests.sort(key=self._seconds.__getitem__)
            sums = accumulate(self._seconds[item] for item in tests)
            del tests[1 + sum(1 for seconds in sums if seconds < self._longest_s) :]
        for number, mutant in enumerate(self._mutants, 1):
            self.verdicts[mutant] = self._verdict(mutant, at_import)
            self._tell(mutant, self.verdicts[mutant])
            if number % 200 == 0:
                self._say(f"{number} of {len(self._mutants)} at {mutant.short}")
        return True

    def _run_once(self, item: pytest.Item) -> None:
        """Note how long a test takes and which functions it reaches; one that fails now is of no use here."""
        begun = time.process_time()
        if passes(item, None):
            self._seconds[item] = time.process_time() - begun
            for function in hits():
                self._reached[function].append(item)
        else:
            self._say(f"Left out, as it fails without a mutant: {item.nodeid}")
            hits()

    def _verdict(self, mutant: Mutant, at_import: set[str]) -> Verdict:
        tests = self._reached.get(mutant.function)
        if not tests:
            return "at import" if mutant.function in at_import else "no test"
        child = os.fork()
        if child == 0:
            self._try(mutant, tests)
        _, status = os.waitpid(child, 0)
        if status == 0:
            return "survived"
        self._move_first(tests, int.from_bytes(self._running[:8], "little"))
        return "timeout" if os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGVTALRM else "killed"

    @staticmethod
    def _move_first(tests: list[pytest.Item], place: int) -> None:
        """What found this mutant is likely to find the next one."""
        tests.insert(0, tests.pop(place))

    def _try(self, mutant: Mutant, tests: Sequence[pytest.Item]) -> None:
        """In the fork: run the tests until one fails, and end with 1, or with 0 where none does."""
        os.environ[SWITCH] = mutant.key
        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
        silence = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silence, 1)
        os.dup2(silence, 2)
        code = 1
        try:
            for place, item in enumerate(tests):
                self._running[:8] = place.to_bytes(8, "little")
                signal.setitimer(signal.ITIMER_VIRTUAL, SLACK_S + 20 * self._seconds[item])
                if not passes(item, tests[place + 1] if place + 1 < len(tests) else None):
                    break
            else:
                code = 0
        finally:
            os._exit(code)


def passes(item: pytest.Item, following: pytest.Item | None) -> bool:
    """Run one test with its fixtures."""
    return not any(report.failed for report in runtestprotocol(item, log=False, nextitem=following))


def hits() -> set[str]:
    """Take the names of the functions entered since the last time."""
    from mutmut.state import state

    taken = set(state()._stats)
    state()._stats.clear()
    return taken
