"""The same reference visit on the book's pages, without a visit: taps, letters, screens of scrolling.

One tick a step that the visit works, no step that it leaves out; each field filled that no register fills;
a tap for each page opened. The runs at the first setting are timed on the fold-time sheet and typed into the
turn plan's; the others are timed there. Two taps a run, one to open the stopwatch. A page opens at its top,
and is scrolled no farther than brings what is read or touched whole into sight. Nothing is recorded.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.access.filled_sheet import fill, leaves, written
from build_tools.access.sheet_states import wait
from build_tools.browsers.engines import PHONE
from build_tools.measuring.visit_taps import count_visit
from build_tools.visit_trials.engine import Engine
from build_tools.visit_trials.hands import LEVELER_CLASS
from calculators.visit.derived.inputs import given, inputs
from calculators.visit.log.plan import Plan
from calculators.visit.log.state import State, fold

SHEETS = {
    "mainspring-plan": "procedures/set-the-mainspring.html",
    "fold-time": "procedures/time-the-lip-fold.html",
    "turn-plan": "procedures/set-the-lip-assist-spring.html",
    "rod-length": "adjust/hold-the-rod-against-the-count.html",
}
ROWS_OF_THE_LEVELER = ("window_low_s", "window_high_s", "walk_down_limit_n", "spring_count", "thread_pitch_m")
"""What the choice of the leveler fills in."""
NOT_ON_A_SHEET = ("answers", "stopped", "started", "reading_uncertainty_mm")
PLACES = """
    const boxes = {};
    const box = (name, element) => {
        const { top, bottom } = element.getBoundingClientRect();
        if (bottom > top) boxes[name] ??= [top + scrollY, bottom + scrollY];
    };
    for (const step of document.querySelectorAll("li[data-step]")) box(`step ${step.dataset.step}`, step);
    for (const entry of document.querySelectorAll("[data-sheet] [name]"))
        box(entry.name, entry.closest("label") ?? entry);
    const answer = document.querySelector("[data-calculator] [data-answer]");
    if (answer) box("answer", answer);
    return boxes;
"""
Boxes = Mapping[str, list[float]]


@dataclass
class OnPages:
    """What the visit takes on the pages."""

    taps: int = 0
    typed: int = 0
    scrolled_px: float = 0
    pages: int = 0
    page: str = ""
    at: float = 0
    """How far the open page is scrolled, px."""
    sheets: dict[str, dict[str, Any]] = field(default_factory=dict)
    """What stands on each sheet."""

    @property
    def screens(self) -> float:
        """How many of the phone's heights were scrolled."""
        return self.scrolled_px / PHONE["height"]

    def open(self, page: str) -> None:
        """Go to a page, by one tap where it is another one."""
        if page != self.page:
            self.page, self.at = page, 0
            self.pages += 1
            self.taps += 1

    def see(self, box: list[float]) -> None:
        """Scroll until a box is whole in sight, or begins at the top where it is taller."""
        top, bottom = box
        height = PHONE["height"]
        to = min(max(self.at, bottom - height), top)
        self.scrolled_px += abs(to - self.at)
        self.at = to


def count_pages(browser: WebDriver, address: str, engine: Engine) -> OnPages:
    """Count the reference visit on the pages of an open book, at the phone's size."""
    counted = OnPages()
    log = count_visit(engine.plan, engine.words, LEVELER_CLASS).events
    plan = Plan(engine.ask_plan())
    boxes: dict[str, Boxes] = {}
    for number, event in enumerate(log):
        values = event["values"]
        if event["kind"] == "done":
            page = values["page"]
            boxes[page] = boxes.get(page) or looked_at(browser, address + page)
            counted.open(page)
            for step in values["steps"]:
                counted.see(boxes[page][f"step {step['id']}"])
                counted.taps += 1
        if event["kind"] == "answered" and values["calculator"] in SHEETS:
            state = fold(log[:number])
            ask_sheet(counted, browser, address, values["calculator"], asked(plan, state, values))
    return counted


def asked(plan: Plan, state: State, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return what a person fills into the sheet, by its place; nothing where nothing can be asked yet."""
    name = values["calculator"]
    spring = plan.jobs_spring(values["job"]) or "mainspring"
    found = inputs(plan, state, name, spring=spring) or {}
    known = given(plan, state, name)
    own = {key: value for key, value in found.items() if key not in known and key not in NOT_ON_A_SHEET}
    rows = own.pop("runs_s", None)
    if rows is not None:
        own["runs_s"] = [row["fold_time_s"] for row in rows]
    return {path: value for path, value in leaves(own) if not path.endswith(".started")}


def ask_sheet(counted: OnPages, browser: WebDriver, address: str, name: str, wanted: dict[str, Any]) -> None:
    """Fill a sheet with what is new since it was filled last, and read its answer."""
    if not wanted:
        return
    page = SHEETS[name]
    before = counted.sheets.get(name, {})
    new = {path: value for path, value in wanted.items() if before.get(path, ...) != value}
    boxes = looked_at(browser, address + page, wanted)
    counted.open(page)
    counted.taps += name not in counted.sheets  # the choice of the leveler
    counted.taps += rows_added(before, wanted)
    timed = [path for path in new if is_timed(name, path, counted)]
    counted.taps += 2 * len(timed) + bool(timed)
    for path, value in new.items():
        if path.rpartition(".")[2] in ROWS_OF_THE_LEVELER or path in timed or path not in boxes:
            continue
        counted.see(boxes[path])
        if value is None or is_choice(browser, path):
            counted.taps += 1
        else:
            counted.typed += len(written(browser, path, value))
    counted.see(boxes["answer"])
    counted.sheets[name] = wanted


def is_timed(name: str, path: str, counted: OnPages) -> bool:
    """Tell whether a value comes from the stopwatch of its own sheet."""
    if name == "fold-time":
        return path.startswith("runs_s")
    return name == "turn-plan" and path.endswith("fold_time_s") and name in counted.sheets


def rows_added(before: Mapping[str, Any], now: Mapping[str, Any]) -> int:
    """Count the rows of lists that are new beyond the first one."""

    def rows(of: Mapping[str, Any]) -> set[str]:
        return {path.partition("]")[0] for path in of if "]." in path}

    return max(0, len(rows(now)) - max(1, len(rows(before)))) if rows(now) else 0


def is_choice(browser: WebDriver, path: str) -> bool:
    """Tell whether a value is one of a few to tap on."""
    return bool(browser.find_elements("css selector", f'[type=radio][name="{path}"]'))


def looked_at(browser: WebDriver, page: str, filled: Mapping[str, Any] | None = None) -> Boxes:
    """Open a page, fill its sheet, and return where each step and each entry stands, px from the top."""
    browser.get(page)
    if filled is not None:
        wait(browser, "return document.querySelector('[data-sheet]')?.disabled === false")
        fill(browser, nested(filled))
    boxes: Boxes = browser.execute_script(PLACES)
    return boxes


def nested(flat: Mapping[str, Any]) -> dict[str, Any]:
    """Return inputs as they go over the wire, from values by place: {"cycles[0].rise": …}."""
    found: dict[str, Any] = {}
    for path, value in flat.items():
        place: Any = found
        parts = list(parts_of(path))
        for part, following in zip(parts, [*parts[1:], None], strict=True):
            empty: Any = [] if isinstance(following, int) else {}
            if isinstance(part, int) and len(place) == part:
                place.append(value if following is None else empty)
            elif isinstance(part, str):
                place.setdefault(part, value if following is None else empty)
            place = place[part]
    return found


def parts_of(path: str) -> Iterator[str | int]:
    """The names and numbers of a place."""
    for name in path.replace("[", ".").replace("]", "").split("."):
        yield int(name) if name.isdigit() else name


def told(counted: OnPages) -> Iterator[str]:
    """Say what the visit takes on the pages."""
    yield f"on the pages: {counted.taps} taps, {counted.typed} characters typed"
    yield f"  {counted.pages} pages opened, {counted.screens:.0f} screens scrolled"
