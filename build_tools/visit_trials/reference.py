"""The reference visit through the page's own buttons: taps made, characters typed, screens that scroll."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement

from build_tools.browsers.reading import waiting
from build_tools.visit_trials.engine import Engine
from build_tools.visit_trials.hands import Hands, begin
from build_tools.visit_trials.page import CLOCK, START_S, VISITS, Move, log_of, touch, work

SCREEN = ".ht-visit-screen"
HEIGHTS = """
    const over = () => Math.max(0, document.scrollingElement.scrollHeight - innerHeight);
    const hazards = [...document.querySelectorAll(".ht-visit-screen [data-hazard]")];
    const whole = over();
    for (const each of hazards) each.style.display = "none";
    const bare = over();
    for (const each of hazards) each.style.display = "";
    return { over: whole, bare, title: document.querySelector(".ht-visit-screen h1").textContent };
"""
IS_NEW = """
    const now = document.querySelector(".ht-visit-screen");
    return Boolean(now && now.dataset.trial === undefined && !document.documentElement.dataset.unsaved);
"""
MARK = "document.querySelector('.ht-visit-screen').dataset.trial = ''"


@dataclass(frozen=True, slots=True)
class Longer:
    """A screen longer than the phone: kind and heading, px beyond its height, and without the hazards."""

    kind: str
    title: str
    over: float
    bare: float

    @property
    def is_explained(self) -> bool:
        """Whether it would not scroll without its hazards."""
        return self.bare < 1


@dataclass
class Counted:
    """What the visit took, by part: "begin", "work", "close"; and each screen that scrolls."""

    taps: dict[str, int] = field(default_factory=lambda: {"begin": 0, "work": 0, "close": 0})
    typed: dict[str, int] = field(default_factory=lambda: {"begin": 0, "work": 0, "close": 0})
    screens: int = 0
    scrolled: list[Longer] = field(default_factory=list)
    log: list[dict[str, Any]] = field(default_factory=list)


class Reference:
    """One person with one phone, whose every tap and letter is counted.

    `real` taps are those of a finger: what is covered cannot be touched; else each button is told of a press,
    which is all that the page sees of one, and several times quicker. `at` is called with the kind and the
    heading of each screen while it stands, the first time that it does.
    """

    def __init__(
        self,
        browser: WebDriver,
        address: str,
        engine: Engine,
        *,
        real: bool,
        at: Callable[[str], None] | None = None,
    ) -> None:
        self.browser, self.address, self.engine, self.real = browser, address, engine, real
        self.at = at
        self.counted = Counted()
        self.part = "begin"
        self.seen: set[str] = set()

    def work(self) -> Counted:
        """Work the reference visit from the list of visits to its report."""
        self.browser.get(self.address + VISITS)
        self.wait("[data-choose=customer]", START_S)
        self.browser.execute_script(CLOCK)
        touch(self.browser)
        self.do(begin(self.engine.ask_plan()))
        self.part = "work"
        hands = Hands()
        while (screen := self.screen())["kind"] != "leave":
            self.look(screen["kind"])
            runs = sum(event["kind"] == "run" for event in self.counted.log)
            for act in hands.acts(screen, runs):
                self.do(act.moves, stays=act.stays)
        self.part = "close"
        self.look("leave")
        self.do(hands.acts(screen)[0].moves)
        self.do([("tap", "[data-part=after] a[href^='#report']")])
        self.look("report")
        self.counted.log = self.log()
        return self.counted

    def log(self) -> list[dict[str, Any]]:
        """Return the events of the visit that was begun last."""
        found = log_of(self.browser)
        last = [event["visit"] for event in found if event["kind"] == "opened"][-1]
        return [event for event in found if event["visit"] == last]

    def screen(self) -> dict[str, Any]:
        """Return the screen that the log leads to."""
        self.counted.log = self.log()
        return self.engine.screen(self.counted.log)

    def look(self, kind: str) -> None:
        """Count a screen, and note by how much it is longer than the phone."""
        found = self.browser.execute_script(HEIGHTS)
        self.counted.screens += 1
        name = f"{kind}: {found['title']}"
        if self.at and name not in self.seen:
            self.seen.add(name)
            self.at(name)
        if found["over"] >= 1:
            self.counted.scrolled.append(Longer(kind, found["title"], found["over"], found["bare"]))

    def do(self, moves: Sequence[Move], *, stays: bool = False) -> None:
        """Tap and type, and wait for the next screen unless this one stays."""
        self.counted.taps[self.part] += sum(what == "tap" for what, *_ in moves)
        texts = [given[1] for what, *given in moves if what == "type"]
        self.counted.typed[self.part] += sum(map(len, texts))
        if not self.real:
            work(self.browser, moves, stays=stays)
            return
        self.browser.execute_script(MARK)
        for what, *given in moves:
            self.do_really(what, *given)
        if not stays:
            waiting(self.browser, START_S).until(
                lambda _: self.browser.execute_script(IS_NEW), "no next screen"
            )

    def do_really(self, what: str, given: Any, text: str = "") -> None:
        """Do one move as a finger does."""
        if what == "skip":
            self.browser.execute_script("trialClock.ahead += arguments[0]", given)
            return
        place = self.wait(given)
        if what == "tap":
            # From under the acts at the foot of the screen.
            self.browser.execute_script("arguments[0].scrollIntoView({ block: 'center' })", place)
            place.click()
        if what == "type":
            place.clear()
            place.send_keys(text)

    def wait(self, selector: str, seconds: float = 20) -> WebElement:
        """Wait for an element of the page and return it."""
        found: list[WebElement] = waiting(self.browser, seconds).until(
            lambda driver: driver.find_elements(By.CSS_SELECTOR, selector), f"no {selector}"
        )
        return found[0]


def told(counted: Counted, seconds: float) -> Iterator[str]:
    """Say what the reference visit took, line by line."""
    yield f"taps: {sum(counted.taps.values())} {counted.taps}"
    yield f"characters typed: {sum(counted.typed.values())} {counted.typed}"
    yield f"screens: {counted.screens}, {len(counted.scrolled)} longer than the phone"
    for row in sorted(set(counted.scrolled), key=lambda row: -row.over):
        why = "for its hazards alone" if row.is_explained else f"{row.bare:.0f} px without its hazards"
        yield f"  {row.kind}: {row.title}: {row.over:.0f} px beyond, {why}"
    yield f"worked in {seconds:.0f} s"


def count(browser: WebDriver, address: str, engine: Engine, *, real: bool) -> tuple[Counted, float]:
    """Work the reference visit; return what it took and how many seconds."""
    begun = time.monotonic()
    return Reference(browser, address, engine, real=real).work(), time.monotonic() - begun
