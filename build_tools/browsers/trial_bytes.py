"""The host sends one file wrong or truncated: it is told by its hash, never stored, and never executed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from build_tools.browsers.host import Host
from build_tools.browsers.reading import accept_offer, kept_level, status
from build_tools.browsers.small_book import files_of
from build_tools.browsers.trial import (
    Phone,
    comes_true,
    damaged,
    keep_whole,
    offer_comes,
    wait_level,
    wait_quiet,
)
from build_tools.browsers.trial_cuts import Editions
from build_tools.edition.edition import CALCULATORS, READING, BookFile
from build_tools.edition.packing import pack

EXECUTED = "/executed"
BEACON = f'\nfetch("{EXECUTED}");\n'.encode()
"""A script that is run in spite of its hash asks the host for this."""
WRONG: dict[str, Callable[[bytes], bytes]] = {
    "one byte wrong": lambda right: right[:-1] + bytes([right[-1] ^ 1]),
    "truncated": lambda right: right[: len(right) // 2],
    "empty": lambda right: b"",
    "another script": lambda right: BEACON,
    "a script added": lambda right: right + BEACON,
}


@dataclass(frozen=True, slots=True)
class WrongFile:
    """One file of the edition, and what its bytes become; `packed` as well as plain ones."""

    file: BookFile
    wrong: str

    def __str__(self) -> str:
        """As the trial is reported."""
        return f"{self.file['url']}, {self.wrong}"


def wrong_files(book: Path, tier: str) -> list[WrongFile]:
    """Every file of a tier with every kind of wrong bytes."""
    return [WrongFile(file, wrong) for file in files_of(book, tier) for wrong in WRONG]


def try_wrong_file(phone: Phone, editions: Editions, wrong: WrongFile) -> list[str]:
    """Let a phone with edition one meet edition two with the wrong file; give all that is not as it must be.

    The service worker runs by then, so that nothing may be executed that it has not verified.
    """
    with phone.host(editions.one) as host:
        keep_whole(phone, host.address + editions.visited)
        host.folder = editions.two
        spoil(host, editions.two, wrong)
        phone.visit(host.address + editions.visited)
        comes_true(lambda: "is missing or damaged" in status(phone.browser))
        said = status(phone.browser)
        wait_quiet(host)
        url = wrong.file["url"]
        found = [] if f"On the host, {url} is missing or damaged." in said else [f"does not name it: {said}"]
        found += [f"it was executed: {host.strays}"] if EXECUTED in host.strays else []
        found += _old_edition_stays(phone, host, wrong)
        host.mend()
        phone.visit(host.address + editions.visited)
        if not offer_comes(phone):
            return [*found, f"no offer after the host was put right: {status(phone.browser)}"]
        accept_offer(phone.browser)
        whole = wait_level(phone, "complete")
        found += [] if whole else [f"never complete after the host was put right: {status(phone.browser)}"]
        return found


def try_wrong_first_install(phone: Phone, editions: Editions, wrong: WrongFile) -> list[str]:
    """Let a phone with nothing yet meet a wrong runtime file; give all that is not as it must be."""
    with phone.host(editions.one) as host:
        spoil(host, editions.one, wrong)
        phone.visit(host.address + editions.visited)
        comes_true(lambda: "is missing or damaged" in status(phone.browser))
        said = status(phone.browser)
        wait_quiet(host)
        found = [] if wrong.file["url"] in said else [f"does not name it: {said}"]
        found += [f"it was executed: {host.strays}"] if EXECUTED in host.strays else []
        if kept_level(phone.browser) != READING:
            found.append(f"the pages are not kept for themselves: {status(phone.browser)}")
        stored = phone.storage(host)
        found += damaged(stored)
        return found + (["it was stored"] if wrong.file["sha256"] in stored.values() else [])


def spoil(host: Host, book: Path, wrong: WrongFile) -> None:
    """Send the file wrong: its plain bytes, and where it has a packed copy, a well packed wrong file too."""
    url = wrong.file["url"]
    right = (book / url).read_bytes()
    host.tamper(url, WRONG[wrong.wrong](right))
    if "packed" in wrong.file:
        packed_url = wrong.file["packed"]["url"]
        is_cut = wrong.wrong in ("truncated", "empty")
        packed = (book / packed_url).read_bytes()
        host.tamper(packed_url, WRONG[wrong.wrong](packed) if is_cut else pack(WRONG[wrong.wrong](right)))


def _old_edition_stays(phone: Phone, host: Host, wrong: WrongFile) -> list[str]:
    found = [] if kept_level(phone.browser) == "complete" else [f"old edition: {status(phone.browser)}"]
    stored = phone.storage(host)
    found += damaged(stored)
    return found + (["it was stored"] if wrong.file["sha256"] in stored.values() else [])


def runtime_files(book: Path) -> list[WrongFile]:
    """Every file of the calculators' tier, every kind."""
    return wrong_files(book, CALCULATORS)


def some_reading_files(book: Path, *, every: int) -> list[WrongFile]:
    """A sample of the pages' tier, the kinds taking turns."""
    return wrong_files(book, READING)[:: every * len(WRONG) + 1]
