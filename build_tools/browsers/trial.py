"""What trials of the keeping share: a phone that stops at any moment, and a judge of what its page says."""

from __future__ import annotations

import os
import re
import signal
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from selenium.common.exceptions import WebDriverException
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.engines import open_chromium
from build_tools.browsers.host import BLANK, Host
from build_tools.browsers.reading import kept_level, offer, status, stored_files
from build_tools.browsers.small_book import files_of

PATIENCE_S = 60.0
QUIET_S = 0.4
SAYS_S = 3.0
STOPS = ("page loaded again", "worker stopped", "browser closed", "browser crashed")
"""What happens to the phone between a fault and the next visit."""
NO_NETWORK = "There is no network now."
COUNTED = re.compile(r"\d")
"""The status has been filled in: it has a date or a count."""
COUNTS = re.compile(r"(\d+) of (\d+) files")
SHOWN = """
    const notice = document.documentElement.dataset.notice;
    if (notice) arguments[0](notice);
    else fetch(location.href).then(async (answer) => {
        const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", await answer.arrayBuffer()));
        return [...sum].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    }).then(arguments[0], () => arguments[0]("nothing of the book"));
"""
RECORDS = """
    (async () => {
        const found = [];
        for (const name of await caches.keys()) {
            const cache = await caches.open(name);
            for (const request of await cache.keys()) {
                const isRecord = /record\\/(current|next)$/.test(request.url);
                if (isRecord) found.push(await (await cache.match(request)).json());
            }
        }
        return found;
    })().then(arguments[0]);
"""
IS_OURS = "return document.querySelector('[data-status]') !== null"


@dataclass
class Phone:
    """A browser whose storage lives in a folder, and which can be closed, or crash, and be opened again."""

    profile: Path
    browser: WebDriver
    origins: set[str] = field(default_factory=set)

    @contextmanager
    def host(self, folder: Path) -> Iterator[Host]:
        """A host for the time of the block, at an origin that this phone has never seen."""
        hosts = [Host(folder).start()]
        while hosts[-1].origin in self.origins:
            hosts.append(Host(folder).start())
        self.origins.add(hosts[-1].origin)
        try:
            yield hosts[-1]
        finally:
            for host in hosts:
                host.stop()

    def restart(self) -> None:
        """Open the browser anew, whatever state it is in."""
        with suppress(WebDriverException):
            self.browser.quit()
        self.browser = open_chromium(self.profile)

    def stop(self, how: str) -> None:
        """Do one of STOPS."""
        if how == "worker stopped":
            self.browser.execute_cdp_cmd("ServiceWorker.enable", {})
            self.browser.execute_cdp_cmd("ServiceWorker.stopAllWorkers", {})
        if how == "browser crashed":
            self._crash()
        if how == "browser closed":
            self.browser.quit()
        if how.startswith("browser"):
            self.browser = open_chromium(self.profile)

    def kill(self) -> None:
        """Kill every process of the browser at once; what its driver says then is an error."""
        kill_all(self.browser.service.process.pid)

    def _crash(self) -> None:
        with suppress(WebDriverException):  # no answer can come any more
            self.browser.execute_cdp_cmd("Browser.crash", {})
        self.browser.service.stop()

    def visit(self, address: str) -> None:
        """Open a page, whether or not it can be had."""
        try:
            self.browser.get(address)
        except WebDriverException as refused:
            if "net::ERR" not in str(refused.msg):
                raise

    def storage(self, host: Host) -> dict[str, str]:
        """What is stored, key -> SHA-256, seen from outside the book."""
        self.visit(host.origin + BLANK)
        end = time.monotonic() + PATIENCE_S
        while "error" in (stored := stored_files(self.browser)):
            if time.monotonic() > end:
                raise RuntimeError(stored["error"])
            time.sleep(0.05)  # what an update has left over is dropped at this moment
        return stored


def kill_all(process: int, *, itself: bool = False) -> None:
    """Kill all that a process has started, and all that these have, the first of them first."""
    children: dict[int, list[int]] = {}
    for folder in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            parent = int((folder / "stat").read_text("utf-8").rpartition(")")[2].split()[1])
            children.setdefault(parent, []).append(int(folder.name))
    waiting = [process] if itself else children.get(process, [])
    for process_id in waiting:
        waiting += children.get(process_id, [])
    for process_id in waiting:
        with suppress(ProcessLookupError):
            os.kill(process_id, signal.SIGKILL)


@contextmanager
def trial_phone(profile: Path) -> Iterator[Phone]:
    """A phone for the time of the block."""
    phone = Phone(profile, open_chromium(profile))
    try:
        yield phone
    finally:
        phone.browser.quit()


def wait_quiet(host: Host) -> None:
    """Wait until the host has been asked for nothing for a while."""
    end = time.monotonic() + PATIENCE_S
    seen, since = -1, time.monotonic()
    while time.monotonic() < end:
        if len(host.requests) != seen:
            seen, since = len(host.requests), time.monotonic()
        elif time.monotonic() - since > QUIET_S:
            return
        time.sleep(0.05)


def comes_true(claim: Callable[[], object]) -> bool:
    """Wait until a claim is true; False where it never is. The whole book takes its time."""
    end = time.monotonic() + PATIENCE_S
    while time.monotonic() < end:
        if claim():
            return True
        time.sleep(0.05)
    return False


def offer_comes(phone: Phone) -> bool:
    """Wait until a new edition is offered; False where it never is."""
    return comes_true(lambda: offer(phone.browser))


def wait_level(phone: Phone, level: str) -> bool:
    """Wait until the page says that `level` is kept; False where it never does."""
    return comes_true(lambda: kept_level(phone.browser) == level)


def keep_whole(phone: Phone, address: str) -> None:
    """Open a page and wait until the book is kept whole. Raises TimeoutError where it never is."""
    # The page of the trial before may be about to load itself anew, and would take this one's place.
    if not comes_true(lambda: _is_open(phone, address)) or not wait_level(phone, "complete"):
        raise TimeoutError(f"never complete: {status(phone.browser)}")


def _is_open(phone: Phone, address: str) -> bool:
    phone.visit(address)
    return phone.browser.current_url.startswith(address)


def settled_level(phone: Phone) -> str:
    """What the open page says is kept, once it has said so; "none" for a page that is not the book's."""
    end = time.monotonic() + SAYS_S
    while phone.browser.execute_script(IS_OURS) and not COUNTED.search(status(phone.browser)):
        if time.monotonic() > end:
            break
        time.sleep(0.05)
    return kept_level(phone.browser) if phone.browser.execute_script(IS_OURS) else "none"


def damaged(stored: dict[str, str]) -> list[str]:
    """Every stored file whose bytes are not those of the hash in its name."""
    return [f"{key} holds other bytes" for key, sha256 in stored.items() if not key.endswith(sha256)]


def false_records(phone: Phone, stored: set[str]) -> list[str]:
    """Every tier that a record at this origin calls whole and that is not."""
    return [
        f"the record of {record['edition']} calls {tier} whole, and {file['url']} is missing"
        for record in phone.browser.execute_async_script(RECORDS)
        for tier in record["kept"]
        for file in record["tiers"][tier]
        if file["sha256"] not in stored
    ]


def untrue(phone: Phone, shown: Path, stored: set[str]) -> list[str]:
    """Every claim of the open page, of the edition `shown`, that what is stored does not bear out."""
    if not phone.browser.execute_script(IS_OURS):
        return []
    level, said = kept_level(phone.browser), status(phone.browser)
    claims = {"reading": ("reading",), "complete": ("reading", "calculators")}.get(level, ())
    claimed = [file for tier in claims for file in files_of(shown, tier)]
    lacking = [file["url"] for file in claimed if file["sha256"] not in stored]
    found = [f"says {level}, and {url} is missing" for url in lacking]
    if found or not COUNTED.search(said) or level == "complete":
        return found
    if "Everything is kept" in said:
        found.append(f"level {level}, and says: {said}")
    counts = COUNTS.search(said)
    tier = "reading" if level == "none" else "calculators"
    files = files_of(shown, tier)
    here = sum(file["sha256"] in stored for file in files)
    if counts and "new edition" not in said and (int(counts[1]), int(counts[2])) != (here, len(files)):
        found.append(f"{here} of {len(files)} files are stored, and it says: {said}")
    return found


def pages_wrong(phone: Phone, host: Host, edition: Path, pages: Sequence[str], stored: set[str]) -> list[str]:
    """Open pages of an edition: each that neither comes whole from it nor, if not stored, says so."""
    hashes = {file["url"]: file["sha256"] for file in files_of(edition)}
    found = []
    for page in pages:
        phone.visit(host.address + page)
        shown = phone.browser.execute_async_script(SHOWN)
        wanted = hashes[page] if hashes[page] in stored else "not-kept"
        if shown != wanted:
            found.append(f"{page} shows {shown}, not {wanted}")
    return found
