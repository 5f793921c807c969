"""What is kept of a visit and what leaves the phone: photos, the file for the office, the erase."""

from __future__ import annotations

import base64
import hashlib
import json
import struct
from pathlib import Path
from typing import Any

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from tests.browser.visit.visits_page import (
    forget_visits,
    open_visits,
    put_visit,
    show,
    with_parts,
    worked_visit,
)
from tests.browser.work_sheet import press, wait

SMALL = """
const [width, height] = given;
const canvas = document.createElement("canvas");
[canvas.width, canvas.height] = [width, height];
const ink = canvas.getContext("2d");
ink.fillStyle = "red";
ink.fillRect(0, 0, width, height / 2);
const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.9));
return [...new Uint8Array(await blob.arrayBuffer())];
"""
KEPT = """
const { hash, blob, width, height } = await parts["photos.js"].smallPhoto(
    new Blob([Uint8Array.from(atob(given[0]), (sign) => sign.charCodeAt(0))], { type: "image/jpeg" }));
const bytes = new Uint8Array(await blob.arrayBuffer());
const picture = await createImageBitmap(blob);
const canvas = document.createElement("canvas");
[canvas.width, canvas.height] = [width, height];
const ink = canvas.getContext("2d");
ink.drawImage(picture, 0, 0);
const at = (x) => [...ink.getImageData(x, height / 2, 1, 1).data].slice(0, 2);
const text = [...bytes].map((byte) => String.fromCharCode(byte)).join("");
return { hash, width, height, left: at(4), right: at(width - 4), bytes: btoa(text) };
"""


@pytest.fixture(scope="module")
def visits(browser: WebDriver, address: str) -> WebDriver:
    """The page of visits without a visit, its engine running."""
    open_visits(browser, address)
    forget_visits(browser)
    return browser


def exif(orientation: int) -> bytes:
    """An APP1 segment as a camera writes it: an orientation, and a position (GPS) of 52 degrees north."""
    entries = struct.pack(">HHIHH", 0x0112, 3, 1, orientation, 0) + struct.pack(">HHII", 0x8825, 4, 1, 38)
    main = struct.pack(">H", 2) + entries + struct.pack(">I", 0)
    position = struct.pack(">H", 1) + struct.pack(">HHI4s", 0x0001, 2, 2, b"N\0\0\0") + struct.pack(">I", 0)
    body = b"Exif\0\0" + b"MM\0*" + struct.pack(">I", 8) + main + position
    return b"\xff\xe1" + struct.pack(">H", len(body) + 2) + body


def test_a_photo_is_upright_small_and_without_its_place(visits: WebDriver) -> None:
    """Of a camera's file only the picture is kept: turned as it says, 1600 px long, named by its own hash."""
    taken = bytes(with_parts(visits, SMALL, 2400, 1200))
    marked = taken[:2] + exif(6) + taken[2:]
    kept = with_parts(visits, KEPT, base64.b64encode(marked).decode())
    octets = base64.b64decode(kept["bytes"])
    assert (kept["width"], kept["height"]) == (800, 1600)  # orientation 6 is a camera held upright
    assert kept["hash"] == hashlib.sha256(octets).hexdigest()
    assert octets[:2] == b"\xff\xd8"
    assert (b"Exif" in marked, b"Exif" in octets, b"\xff\xe1" in octets) == (True, False, False)
    # Turned a quarter clockwise, the red upper half lies on the right; the other half was never painted.
    assert [max(kept["left"]) < 60, kept["right"][0] > 200] == [True, True]


def test_what_is_no_photo_is_refused_in_words(visits: WebDriver) -> None:
    """A file that the browser cannot read as a picture is not kept, and its sentence says so."""
    found = with_parts(
        visits,
        "return parts['photos.js'].smallPhoto(new Blob(['no photo'])).then(() => '', (fault) => fault.code);",
    )
    assert found == "unreadable"


def written(visits: WebDriver, events: list[dict[str, Any]]) -> tuple[str, bytes]:
    """The visit file of these events: its name and its bytes."""
    found = with_parts(
        visits,
        """
        const about = { edition: "e", device: "d", made: "2026-11-30T15:00:00.000+01:00" };
        const file = await parts["files.js"].visitFile(given[0], about);
        return { name: file.name, text: await file.text() };
        """,
        events,
    )
    return found["name"], found["text"].encode()


def test_a_visit_file_names_its_hash_and_holds_every_event(visits: WebDriver) -> None:
    """JSON lines: the head, each event as it is in the log, last the SHA-256 of all the bytes before it."""
    events = [
        {"visit": "v1", "seq": 4, "kind": "opened", "values": {"customer": "Müller\n</script>"}},
        {"visit": "v1", "seq": 5, "kind": "photo", "values": {"hash": "ab12"}},
    ]
    name, octets = written(visits, events)
    *lines, last = octets.removesuffix(b"\n").split(b"\n")
    total = hashlib.sha256(b"".join(line + b"\n" for line in lines)).hexdigest()
    assert json.loads(last) == {"sha256": total}
    assert name == f"{total}.visit.jsonl"
    assert [json.loads(line) for line in lines[1:]] == events
    assert json.loads(lines[0]) == {
        "file": "half-turn-visit",
        "v": 1,
        "edition": "e",
        "device": "d",
        "made": "2026-11-30T15:00:00.000+01:00",
        "visits": ["v1"],
        "events": 2,
        "photos": ["ab12"],
    }
    assert written(visits, events) == (name, octets)


def test_a_hand_over_is_written_into_the_visit(visits: WebDriver, site: Path) -> None:
    """A closed visit waits to be handed over; saved as a file it waits no more, and stays closed."""
    put_visit(visits, "v-hand", "hm-05", worked_visit(site))
    show(visits, "files", "files")
    visits.execute_script(
        "window.saved = []; HTMLAnchorElement.prototype.click = function () { saved.push(this.download) }"
    )
    press(visits, "[data-act=hand-over]")
    wait(visits, "return document.querySelector('.ht-visit-said').textContent.includes('Files: 1')")
    names = visits.execute_script("return saved")
    kept = with_parts(
        visits,
        """
        const last = (await log.eventsOf("v-hand")).at(-1);
        return [last.kind, last.values.files, await log.database.get("digests", "v-hand")];
        """,
    )
    assert kept[:2] == ["handed-over", names]
    assert {"open", "keeps"} & kept[2].keys() == set()
    assert visits.execute_script("return document.querySelector('[data-act=hand-over]')") is None


def test_everything_typed_is_erased_and_the_book_stays(visits: WebDriver, site: Path) -> None:
    """Visits, names, sheets and ticks go at once; the phone's own settings and another book's names stay."""
    put_visit(visits, "v-erase", "hm-05", worked_visit(site))
    visits.execute_script("""
        const root = new URL(`${document.documentElement.dataset.root}/`, location).href;
        const names = ["visit:technician", "place-in-hand", "sheet:fold-time", "ticks/a/b.html", "units",
            "further-down/visit:technician"];
        for (const name of names) localStorage.setItem(root + name, '"x"');
    """)
    with_parts(
        visits,
        "parts['draft.js'].keepDraft('v-erase', { kind: 'steps', job: 'a' }, { lead: 'Kim' });",
    )
    drafts = "return Object.keys(localStorage).filter((name) => name.includes('draft')).length"
    assert visits.execute_script(drafts) == 1
    kept_files = visits.execute_async_script("caches.keys().then(arguments[0])")
    show(visits, "list", "visits")
    show(visits, "files", "files")
    press(visits, "[data-act=erase]")
    wait(visits, "return document.querySelector('[data-act=erase-now]') !== null")
    assert "Not handed over: 1" in visits.execute_script(
        "return document.querySelector('[data-part=erase]').innerText"
    )
    press(visits, "[data-act=erase-now]")
    wait(visits, "return document.querySelector('.ht-visit-said').textContent.includes('is erased')")
    counts = with_parts(
        visits,
        "return Promise.all(['events', 'digests', 'photos'].map((store) => log.database.count(store)));",
    )
    names = visits.execute_script("""
        const root = new URL(`${document.documentElement.dataset.root}/`, location).href;
        const ours = Object.keys(localStorage).filter((key) => key.startsWith(root));
        return ours.map((key) => key.slice(root.length));
    """)
    assert counts == [0, 0, 0]
    assert {"units", "further-down/visit:technician"} <= set(names)
    assert visits.execute_script(drafts) == 0, "what is typed and not entered yet goes with the rest"
    assert {"visit:technician", "place-in-hand", "sheet:fold-time", "ticks/a/b.html"} & set(names) == set()
    assert visits.execute_async_script("caches.keys().then(arguments[0])") == kept_files


def test_one_tap_puts_the_invented_customers_away_and_back(visits: WebDriver) -> None:
    """Put away, no visit can be begun at an invented door; brought back, all three customers are there."""
    names = "return document.querySelectorAll('fieldset[data-choose=customer] li').length"
    found = []
    show(visits, "list", "visits")
    for _ in range(2):
        show(visits, "files", "files")
        press(visits, "[data-act=demo]")
        show(visits, "", "visits")
        found.append(visits.execute_script(names))
    assert found == [0, 3]
