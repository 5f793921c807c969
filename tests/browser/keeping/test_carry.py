"""The book as one zip: unpacked it reads straight from disk, and from any folder of a host it works whole."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By

from build_tools.browsers.host import Host
from build_tools.browsers.reading import kept_level, status, wait_kept
from build_tools.browsers.small_book import write_small_book
from build_tools.commands.carry import NOTE, note, run, write_archive
from build_tools.faults import Fault
from build_tools.registers.registers import Registers
from build_tools.site.building import Built
from tests.browser.keeping.test_offline_book import logged

PAGES = ("index.html", "procedures/time-the-lip-fold.html", "know/parts-of-the-leveler.html")
FROM_DISK = "This page was opened straight from disk."
SHOWN = """
    return [getComputedStyle(document.querySelector("h1")).fontSize,
            [...document.querySelectorAll(arguments[0])].map((part) => part.getClientRects().length > 0)];
"""


@pytest.fixture(scope="module")
def unpacked(built: Built, registers: Registers, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder that the zip of the real book unpacks into."""
    folder = tmp_path_factory.mktemp("carried")
    write_archive(built, note(built, registers.words), folder / "book.zip")
    with zipfile.ZipFile(folder / "book.zip") as archive:
        archive.extractall(folder)
    return folder / "handbook"


def test_holds_the_book_whole_and_a_note_first(unpacked: Path, built: Built) -> None:
    """The zip begins with the note and holds every file of the built book, byte for byte."""
    with zipfile.ZipFile(unpacked.parent / "book.zip") as archive:
        names = archive.namelist()
    assert names[0] == f"handbook/{NOTE}"
    site = built.folder
    files = [path.relative_to(site).as_posix() for path in sorted(site.rglob("*")) if path.is_file()]
    assert names[1:] == [f"handbook/{path}" for path in files]
    assert [path for path in files if (unpacked / path).read_bytes() != (site / path).read_bytes()] == []
    told = (unpacked / NOTE).read_text(encoding="utf-8").splitlines()
    assert told[:2] == ["Brackenlow Dock Care field handbook", f"Edition of {built.date} ({built.edition})"]
    assert "    python3 -m http.server 8000 --bind 127.0.0.1" in told  # never on the whole network


def test_the_same_edition_gives_the_same_bytes(registers: Registers, tmp_path: Path) -> None:
    """Made again elsewhere and written again later, the zip is the same to the last byte."""
    for name in ("one", "two"):
        folder = write_small_book(tmp_path / name)
        small = Built(folder, "0123456789abcdef", "2026-11-20")
        (folder / "index.html").touch()
        write_archive(small, note(small, registers.words), tmp_path / f"{name}.zip")
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


@pytest.mark.parametrize("page", PAGES)
def test_a_page_opened_from_disk_reads_well_and_says_what_needs_serving(
    phone: WebDriver, unpacked: Path, page: str
) -> None:
    """Styles hold, nothing fails to load, the search is away, and a sentence in sight says why."""
    logged(phone)
    phone.get((unpacked / page).as_uri())
    size, in_sight = phone.execute_script(SHOWN, ".ht-from-disk, .ht-untold, .md-search, [for=__search]")
    assert size == "32px"
    assert phone.find_element(By.CSS_SELECTOR, ".ht-from-disk").text.startswith(FROM_DISK)
    assert in_sight.count(True) == 1  # the sentence alone
    for serving in phone.find_elements(By.CSS_SELECTOR, "[data-needs=serving]"):
        assert serving.is_displayed()
    assert kept_level(phone) == "none"
    assert logged(phone) == []


def test_served_from_a_folder_of_a_host_the_phone_keeps_it(phone: WebDriver, unpacked: Path) -> None:
    """Two folders down on a plain host the unpacked book is kept, and opens with the server stopped."""
    host = Host(unpacked, "/pages/dock/").start()
    phone.get(host.address)
    wait_kept(phone, "complete", seconds=90)
    host.stop()
    phone.get(host.address + "know/parts-of-the-leveler.html")
    wait_kept(phone, "complete")
    assert status(phone).startswith("Everything is kept on this phone.")


def test_a_place_where_no_file_can_be_is_refused(tmp_path: Path) -> None:
    """A folder, or a file in a folder that is not there, is refused before anything is built."""
    for place in (tmp_path, tmp_path / "no" / "book.zip"):
        with pytest.raises(Fault, match="No file can be written at"):
            run(["--into", str(place)])
