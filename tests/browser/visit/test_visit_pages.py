"""The pages beside the steps: begin, list, leave, report, history; the place told on the accident's page."""

from __future__ import annotations

from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.keys import Keys

from build_tools.access.axe import ask_axe
from build_tools.access.findings import Finding
from build_tools.access.reflow import NARROW, pushed_sideways
from build_tools.access.targets import targets, too_small_or_near
from build_tools.browsers.engines import PHONE
from tests.browser.paper import A4, LETTER, printed, sheets
from tests.browser.visit.visits_page import (
    HEADING,
    forget_visits,
    open_visits,
    put_visit,
    show,
    with_parts,
    worked_visit,
)
from tests.browser.work_sheet import START_S, wait

CAUGHT = "faults/somebody-is-caught.html"
PART = "return document.querySelector('[data-part={}]')?.innerText ?? ''"


@pytest.fixture
def visits(browser: WebDriver, address: str) -> WebDriver:
    """The page of visits without a visit; it is loaded once, unless a test has left it."""
    if browser.current_url.partition("#")[0] != f"{address}visit.html":
        open_visits(browser, address)
    forget_visits(browser)
    show(browser, "files", "files")
    show(browser, "", "visits")
    return browser


@pytest.mark.parametrize("hash_", ["%", "constructor", "__proto__", "%E0%A4%A=1"])
def test_an_address_that_names_no_place_shows_the_list(visits: WebDriver, hash_: str) -> None:
    """A stray percent sign, or a name that every object has, is no place; the next address works again."""
    show(visits, hash_, "visits")
    show(visits, "", "visits")


def choose(browser: WebDriver, question: str, text: str) -> None:
    """Tap the answer of a question of the begin that holds a text."""
    browser.execute_script(
        "const rows = [...document.querySelectorAll(`fieldset[data-choose=${arguments[0]}] li button`)];"
        "rows.find((row) => row.textContent.includes(arguments[1])).click()",
        question,
        text,
    )


def test_a_visit_is_begun_by_keyboard_from_a_doors_address(visits: WebDriver, address: str) -> None:
    """From the address of a door and a symptom, a name and Enter begin it; the log holds what was chosen."""
    open_visits(visits, address, "?door=hm-05&sequence=noisy")
    wait(visits, "return document.querySelector('[data-act=begin]') !== null")
    name = visits.find_element("css selector", "[data-field=technician]")
    name.send_keys("Ana", Keys.TAB, Keys.TAB, Keys.ENTER)
    wait(visits, "return location.hash.startsWith('#visit=')", START_S)
    opened = with_parts(
        visits,
        "return (await log.eventsOf((await log.visitIds())[0])).map((e) => [e.kind, e.leveler, e.values]);",
    )
    [[kind, leveler, values]] = opened
    assert (kind, leveler) == ("opened", "hm-05")
    assert {
        name: values[name] for name in ("sequence", "customer", "door", "leveler_class", "technician")
    } == {
        "sequence": "noisy",
        "customer": "Hallow Mill Foods",
        "door": "5",
        "leveler_class": "brackenlow-a1",
        "technician": "Ana",
    }
    open_visits(visits, address)
    wait(visits, "return document.querySelector('.ht-visit-stands')?.textContent.includes('Job 1') ?? false")
    assert "Hallow Mill Foods, door 5" in visits.execute_script(PART.format("open"))


def test_a_door_that_no_register_has_is_written_in_and_found_again(visits: WebDriver, address: str) -> None:
    """Customer and door are enough; the next visit finds the same door under the same id."""
    visits.execute_script("document.querySelector('[data-part=write-in]').open = true")
    for field, text in (("customer", "Alder Mill"), ("door", "North 2")):
        visits.find_element("css selector", f"[data-part=write-in] [data-field={field}]").send_keys(text)
    visits.execute_script("document.querySelector('[data-act=write-in]').click()")
    wait(visits, "return document.querySelector('[data-choose=asked]') !== null")
    choose(visits, "asked", "Set a leveler that is off")
    visits.execute_script("document.querySelector('[data-field=technician]').value = 'Ana'")
    visits.execute_script("document.querySelector('[data-act=begin]').click()")
    wait(visits, "return location.hash.startsWith('#visit=')", START_S)
    leveler = with_parts(visits, "return (await log.eventsOf((await log.visitIds())[0]))[0].leveler;")
    open_visits(visits, address, f"?door={leveler}")
    assert "Alder Mill" in visits.execute_script(PART.format("begin"))


def test_the_place_in_hand_is_told_where_somebody_is_caught(visits: WebDriver, address: str) -> None:
    """Site, gate and door of the visit begun last, its day, and the word to check it; home has it not."""
    open_visits(visits, address, "?door=hm-05&sequence=noisy")
    wait(visits, "return document.querySelector('[data-act=begin]') !== null")
    visits.execute_script("document.querySelector('[data-field=technician]').value = 'Ana'")
    visits.execute_script("document.querySelector('[data-act=begin]').click()")
    wait(visits, "return location.hash.startsWith('#visit=')", START_S)
    visits.get(f"{address}{CAUGHT}")
    wait(visits, "return document.querySelector('[data-place-in-hand]').hidden === false")
    chosen, place, check = visits.execute_script(
        "return document.querySelector('[data-place-in-hand]').innerText.split('\\n').filter((line) => line)"
    )
    assert chosen.startswith("Chosen on this phone on ")
    assert place == "Hallow Mill Foods, 1 Example Mill Lane, Gate B, ask for the dock lead, door 5"
    assert check == "Check that this is where you stand."
    visits.get(f"{address}index.html")
    assert visits.execute_script("return document.querySelector('[data-place-in-hand]').hidden") is True


def test_what_was_left_open_is_shown_before_the_next_visit(
    visits: WebDriver, address: str, site: Path
) -> None:
    """The part that the last visit needed stands at the door before a new visit, and in its first event."""
    needed = {"kind": "part", "values": {"name": "Bumper", "count": 2, "used": False}}
    *worked, signed, closed = worked_visit(site)
    put_visit(visits, "v-open", "hm-05", [*worked, needed, signed, closed])
    open_visits(visits, address, "?door=hm-05")
    wait(visits, "return document.querySelector('[data-part=left-open]') !== null")
    assert "Part needed: 2 × Bumper" in visits.execute_script(PART.format("left-open"))
    choose(visits, "asked", "Set a leveler that is off")
    visits.execute_script("document.querySelector('[data-act=begin]').click()")
    wait(visits, "return location.hash.startsWith('#visit=')", START_S)
    before = with_parts(
        visits,
        "const id = (await log.visitIds()).find((each) => each !== 'v-open');"
        "return (await log.eventsOf(id))[0].values.before;",
    )
    assert [each["text"] for each in before["left_open"]] == ["Part needed: 2 × Bumper"]


def test_a_closed_visit_is_one_sheet_of_paper(visits: WebDriver, site: Path) -> None:
    """The reference visit's report prints on one sheet, with table, picture, cautions and name; no markup."""
    put_visit(visits, "v-report", "hm-05", worked_visit(site))
    show(visits, "report=v-report", "report")
    wait(visits, "return document.querySelector('[data-part=picture] svg') !== null", START_S)
    assert visits.execute_script(HEADING) == "Mill <b>Foods, door 5: as found and as left"
    found = visits.execute_script(PART.format("compared"))
    assert "2 half turns tighter than found" in found
    cautions = "return document.querySelectorAll('[data-part=cautions] [data-hazard]').length"
    assert visits.execute_script(cautions) == 4
    assert "Signed: " in visits.execute_script(PART.format("signed"))
    assert {size: sheets(printed(visits, size)) for size in (A4, LETTER)} == {A4: 1, LETTER: 1}


def test_a_door_kept_in_use_against_advice_is_not_told_as_closed(visits: WebDriver, site: Path) -> None:
    """Left for the day on its support: what hangs is in the report, and nothing says it is out of use."""
    hung = {"kind": "lock", "values": {"person": "Ben", "place": "support", "on": True}}
    kept = {"kind": "kept-in-use", "values": {"name": "Kim"}}
    closed = {"kind": "closed", "values": {"how": "out-of-service", "why": "Too dark."}}
    put_visit(visits, "v-kept", "hm-05", [worked_visit(site)[0], hung, kept])
    open_list = "return document.querySelector('[data-visit=v-kept]')?.innerText ?? ''"
    show(visits, "files", "files")
    show(visits, "", "visits")
    wait(visits, f"{open_list}.includes('A lock hangs: Ben, support.')", START_S)
    put_visit(visits, "v-kept", "hm-05", [closed])
    show(visits, "report=v-kept", "report")
    text = visits.execute_script("return document.querySelector('.ht-visit-screen').innerText")
    assert "The platform stands on its support." in text
    assert "A lock hangs: Ben, support." in text
    assert "Our advice is to keep the leveler out of service." in text
    assert "Too dark. It is kept in use, decided by Kim." in text
    assert "eft out of service" not in text


def test_a_history_shows_every_visit_and_its_trend(visits: WebDriver, site: Path) -> None:
    """Each visit is a line with what was found; the picture of the trend comes after the words."""
    for visit in ("v1", "v2"):
        put_visit(visits, visit, "hm-05", worked_visit(site))
    show(visits, "history=hm-05", "history")
    lines = visits.execute_script("return document.querySelectorAll('.ht-visit-timeline li').length")
    assert lines == 2
    kept = with_parts(
        visits, "return (await log.database.getAll('digests')).map((row) => Boolean(row.told));"
    )
    assert kept == [True, True]


def test_digests_are_made_again_from_the_log(visits: WebDriver, site: Path) -> None:
    """Where the rows are gone, the list makes them from the log; read again, a row is what it was."""
    put_visit(visits, "v1", "hm-05", worked_visit(site))
    put_visit(visits, "v2", "hm-05", worked_visit(site)[:9])
    show(visits, "history=hm-05", "history")
    read = "return [await log.database.getAll('digests'), (await log.eventsOf('v1')).length];"
    before = with_parts(visits, read)
    with_parts(visits, "await log.database.clear('digests');")
    show(visits, "", "visits")
    show(visits, "history=hm-05", "history")
    [[closed, open_], events] = with_parts(visits, read)
    assert ([closed, open_["open"], open_["last"]], events) == (
        [before[0][0], 1, before[0][1]["last"]],
        before[1],
    )


def test_every_page_is_for_everyone(visits: WebDriver, site: Path) -> None:
    """axe-core finds nothing, no target is too small or near, and at 320 px none is pushed sideways."""
    put_visit(visits, "v1", "hm-05", worked_visit(site))
    put_visit(visits, "v2", "hm-05", worked_visit(site)[:-2])
    found: list[Finding] = []
    shown = (
        ("leave=v1", "leave"),
        ("leave=v2", "leave"),
        ("report=v1", "report"),
        ("history=hm-05", "history"),
    )
    for hash_, kind in (*shown, ("beside=v2", "beside"), ("files", "files"), ("", "visits")):
        show(visits, hash_, kind)
        visits.execute_script(
            "for (const part of document.querySelectorAll('.ht-visit-body details')) part.open = true"
        )
        found += ask_axe(visits, hash_)
        found += too_small_or_near(targets(visits), hash_)
        visits.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", NARROW)
        found += pushed_sideways(visits, hash_)
        visits.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", PHONE)
    assert found == []
