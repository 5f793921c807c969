"""The browser is killed at some moment of a visit: what must be there when it is opened again."""

from __future__ import annotations

import random
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from selenium.common.exceptions import WebDriverException
from urllib3.exceptions import HTTPError
from websocket import WebSocketException

from build_tools.browsers.host import Host
from build_tools.browsers.trial import Phone, comes_true, keep_whole
from build_tools.visit_trials.engine import Engine
from build_tools.visit_trials.firefox_phone import FirefoxPhone
from build_tools.visit_trials.hands import Act, Hands, begin
from build_tools.visit_trials.page import START_S, VISITS, Shown, shown, stores, touch, work
from build_tools.visit_trials.webkit_phone import BookHost, WebkitPhone

MOST_ACTS = 3
"""So many acts at most are done after each opening before the clock of the kill begins to run."""
WITHIN_S = 0.3
"""The kill comes at any moment of so long: two or three acts."""
IS_KEPT = "return document.documentElement.dataset.offline === 'complete'"
GONE = (WebDriverException, HTTPError, ConnectionError, WebSocketException)
"""What a driver says of a browser that was killed."""
Log = list[dict[str, Any]]
KilledPhone = Phone | WebkitPhone | FirefoxPhone


@dataclass(frozen=True, slots=True)
class Moment:
    """When the browser dies: after so many acts, and so many seconds into what follows."""

    acts: int
    after_s: float

    def __str__(self) -> str:
        """As the trial is reported."""
        return f"{self.after_s * 1000:.0f} ms into what follows {self.acts} acts"


def moments(count: int, seed: int) -> list[Moment]:
    """Return so many moments, the same for the same seed."""
    chance = random.Random(seed)
    return [Moment(chance.randint(0, MOST_ACTS), chance.uniform(0, WITHIN_S)) for _ in range(count)]


@dataclass
class Visit:
    """A visit that outlives its browser: what its screen has acknowledged so far, and what was on its way."""

    engine: Engine
    host: Host | BookHost
    id: str = ""
    log: Log = field(default_factory=list)
    """The events on disk when the screen last stood still after an act."""
    words: str = ""
    """All that this screen said."""
    under_way: Act | None = None
    acknowledged: bool = False
    """Whether the screen had answered the act under way."""
    hands: Hands = field(default_factory=Hands)
    fell: Counter[str] = field(default_factory=Counter)
    """Where the kills fell."""
    ends_at: str = "closed"
    """The kind of screen after which the next visit is begun."""

    @property
    def address(self) -> str:
        """Where the visit stands on the screen."""
        return f"{self.host.address}{VISITS}" + (f"#visit={self.id}" if self.id else "")

    def open(self, browser: Any) -> Shown:
        """Open the page of the visit and wait for its screen. Raises TimeoutError."""
        browser.get("about:blank")  # an address that differs only behind its # would not load the page anew
        browser.get(self.address)
        touch(browser)
        self.hands = Hands()
        wanted = "" if self.id else "visits"
        end = time.monotonic() + START_S
        while time.monotonic() < end:
            stands = shown(browser)
            if stands and stands.kind and (not wanted or stands.kind == wanted):
                return stands
            time.sleep(0.02)
        raise TimeoutError(f"no screen at {self.address}: {stands}")

    def begin(self, browser: Any) -> None:
        """Begin a new visit by the page's own buttons."""
        self.id, self.log = "", []
        self.open(browser)
        before = {event["visit"] for event in stores(browser)[0]}
        self.words = work(browser, begin(self.engine.ask_plan()))
        self.log = [event for event in stores(browser)[0] if event["visit"] not in before]
        self.id = self.log[0]["visit"]

    def go_on(self, browser: Any, most: int | None = None, *, closes: bool = False) -> None:
        """Work act after act, as many as `most` or until the browser is gone.

        The next visit follows a closed one, unless the close is the end of it.
        """
        done = 0
        while most is None or done < most:
            screen = self.engine.screen(self.log)
            if screen["kind"] == self.ends_at:
                if closes:
                    return
                self.begin(browser)
                continue
            for act in self.hands.acts(screen, sum(event["kind"] == "run" for event in self.log)):
                self._do(browser, act)
                done += 1
                if done == most:
                    return

    def _do(self, browser: Any, act: Act) -> None:
        self.under_way, self.acknowledged = act, False
        self.words = work(browser, act.moves, stays=act.stays)
        self.acknowledged = True
        self.log = [event for event in stores(browser)[0] if event["visit"] == self.id]
        self.under_way = None


@contextmanager
def visit_on(phone: Phone, site: Path) -> Iterator[Visit]:
    """A visit begun on a phone that keeps the whole book, with no network from then on."""
    with phone.host(site) as host:
        keep_whole(phone, f"{host.address}{VISITS}")
        host.stop()
        visit = Visit(Engine.of(site), host)
        visit.begin(phone.browser)
        yield visit


def visit_elsewhere(phone: WebkitPhone | FirefoxPhone, site: Path) -> Visit:
    """Begin a visit in another engine that keeps the whole book, with no network from then on.

    Visits go to where the lip is timed: without a person's touch these browsers give no sound.
    """
    phone.browser.get(f"{phone.host.address}{VISITS}")
    if not comes_true(lambda: phone.browser.execute_script(IS_KEPT)):
        raise TimeoutError("the book is never kept")
    phone.host.stop()
    visit = Visit(Engine.of(site), phone.host, ends_at="runs")
    visit.begin(phone.browser)
    return visit


def try_kill(phone: KilledPhone, visit: Visit, moment: Moment) -> list[str]:
    """Kill the browser at a moment, open it again, and give everything that is not as it must be."""
    visit.go_on(phone.browser, moment.acts)
    killer = threading.Timer(moment.after_s, phone.kill)
    killer.start()
    with suppress(*GONE):
        visit.go_on(phone.browser)
    killer.join()
    phone.restart()
    return outlived(phone.browser, visit)


def outlived(browser: Any, visit: Visit) -> list[str]:
    """Open a visit again and give what was lost, what is half, and where it does not go on as it should."""
    stands = visit.open(browser)
    if not visit.id:
        return _begun(browser, visit)
    events, rows = stores(browser)
    log = [event for event in events if event["visit"] == visit.id]
    found = _lost(visit, log) + _half(visit, log, rows)
    new = log[len(visit.log) :]
    same = visit.engine.screen(log) if not found else None
    if same:
        found += _stands_elsewhere(stands, same)
    if not new and visit.under_way is None and stands.text != visit.words:
        found.append(f"the screen was\n{visit.words}\nand is\n{stands.text}")
    visit.fell[_where(visit, new)] += 1
    visit.log, visit.words, visit.under_way = log, stands.text, None
    return found


def _begun(browser: Any, visit: Visit) -> list[str]:
    """A kill fell on the beginning of a visit: it is there whole, or not at all."""
    events, rows = stores(browser)
    last = events[-1]["visit"] if events else ""
    log = [event for event in events if event["visit"] == last]
    is_new = len(log) == 1
    visit.fell[f"as a visit was begun, {'written' if is_new else 'not written'}"] += 1
    if is_new:
        visit.id, visit.log, visit.under_way = last, log, None
        visit.words = visit.open(browser).text
        return _half(visit, log, rows)
    visit.begin(browser)
    return []


def _lost(visit: Visit, log: Log) -> list[str]:
    """What the screen had acknowledged and is not on disk, or is not what it was."""
    known = {event["id"]: event for event in log}
    found = [
        f"{event['kind']} of seq {event['seq']} is {'changed' if event['id'] in known else 'gone'}"
        for event in visit.log
        if known.get(event["id"]) != event
    ]
    if visit.acknowledged and visit.under_way and len(log) == len(visit.log):
        found.append(f"{visit.under_way.told} was acknowledged and is gone")
    return found


def _half(visit: Visit, log: Log, rows: Log) -> list[str]:
    """What was written in part: an act of which some events are missing, a row beside another log."""
    found = []
    seqs = [event["seq"] for event in log]
    if seqs != sorted(set(seqs)):
        found.append(f"numbers out of order: {seqs}")
    row = next((row for row in rows if row["visit"] == visit.id), None)
    if row is None or row["last"] != log[-1]["at"]:
        found.append(f"the visit's row is {row}, its last event of {log[-1]['at']}")
    new = [event for event in log[len(visit.log) :] if not cut_off(event)]
    if new and visit.under_way is None:
        found.append(f"written by nobody: {new}")
    if new and visit.under_way:
        act = visit.under_way.told
        whole = visit.engine.ask("act", events=visit.log, act=act)["append"]
        if [written(event) for event in new] != [written(event) for event in whole]:
            found.append(f"{act} is written as {new}, not as {whole}")
    return found


def cut_off(event: dict[str, Any]) -> bool:
    """Tell whether an event is a run that the kill cut off, written down as one that does not count."""
    return event["kind"] == "run" and event["values"].get("fold_time_s") is None


def written(event: dict[str, Any]) -> tuple[str, dict[str, Any]]:
    """What must be equal between an act as it was told and as it is on disk: of a run only that it is one."""
    if event["kind"] == "run":
        return "run", {}
    return event["kind"], {key: value for key, value in event["values"].items() if key != "of"}


def _stands_elsewhere(stands: Shown, screen: dict[str, Any]) -> list[str]:
    """Where the page does not show the screen that its log leads to."""
    kind = "turn" if screen.get("order") else screen["kind"]
    kind = "leave" if kind == "closed" else kind
    wanted = (kind, sorted(entry["ask"] for entry in screen["entries"]))
    seen = (stands.kind, sorted(stands.asks))
    if wanted != seen or (screen["title"] not in stands.title and kind != "leave"):
        return [f"the log leads to {screen['title']} {wanted}, the page shows {stands.title} {seen}"]
    return []


def _where(visit: Visit, new: Log) -> str:
    if visit.under_way is None:
        return "between two acts"
    if visit.acknowledged:
        return "just after the screen had answered an act"
    return f"within an act, {'written' if new else 'not written'}"
