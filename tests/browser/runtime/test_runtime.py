"""The calculators' Python on the page: it starts by itself, recovers, or the page says what to do."""

from __future__ import annotations

from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.host import Host
from build_tools.registers.registers import load_registers
from calculators import answering
from tests.browser.work_sheet import (
    PAGES,
    empty_sheet,
    entry,
    open_sheet,
    press,
    shown,
    take_common_window,
    wait,
    wait_answer,
    wait_runtime,
    write,
)

WASM = "half-turn/pyodide/pyodide.asm.wasm"
QUESTION = (
    '{"runs_s": [19.0, 19.1], "window_low_s": 18, "window_high_s": 20,'
    ' "timing_uncertainty_s": 0.1, "confidence": 0.95}'
)

ASK = """
const [name, text, done] = arguments;
const root = new URL(document.documentElement.dataset.root + "/", location);
import(new URL("half-turn/page/runtime.js", root)).then(({ askText }) => askText(name, text))
    .then(done, (fault) => done({ code: fault.code, report: fault.report, trace: fault.trace }));
"""
ONCE_DEAF = """
const [question] = arguments;
const plain = Worker.prototype.postMessage;
window.asked = [];
Worker.prototype.postMessage = function (message, ...rest) {
    if (message.text === question && asked.push(message.name) === 1) return;
    plain.call(this, message, ...rest);
};
const later = setTimeout;
window.waits = [];
window.setTimeout = (act, ms, ...rest) => {
    waits.push(ms);
    return later(act, waits.length === 1 ? ms / 20 : ms, ...rest);
};
"""
"""The worker does not hear the question the first time; the page's first wait is noted and ends sooner."""


def runtime_line(browser: WebDriver) -> str:
    """What the page says about its calculators, buttons included."""
    return str(browser.execute_script("return document.querySelector('[data-status=runtime]').innerText"))


def runtime_state(browser: WebDriver) -> str:
    """data-runtime of the page."""
    return str(browser.execute_script("return document.documentElement.dataset.runtime"))


@pytest.fixture(scope="module")
def words(project: Path) -> dict[str, str]:
    """The book's sentences."""
    return load_registers(project / "content" / "registers")[0].words


def test_python_starts_only_where_it_is_asked_for(page: WebDriver, address: str) -> None:
    """A page without a calculator leaves Python alone; a page with one starts it without a touch."""
    assert runtime_state(page) == "ready"
    assert runtime_line(page) == "The calculators are ready."
    page.get(address + "procedures/make-the-dock-safe.html")
    workers = page.execute_script(
        "return performance.getEntriesByType('resource').map((entry) => entry.name)"
    )
    parts = ("half-turn/worker/", "/pyodide/", "calculators.json", "page/runtime", "page/calculator.")
    assert [name for name in workers if any(part in name for part in parts)] == []
    assert runtime_state(page) == "absent"


def test_the_sentence_about_serving_goes_once_a_script_runs(page: WebDriver, address: str) -> None:
    """What only a reader without JavaScript needs to know is hidden from everyone else."""
    empty_sheet(page, address, "fold-time")
    wait_runtime(page)
    assert page.execute_script("return document.querySelector('[data-needs=serving]').hidden") is True


def test_a_hurt_python_is_replaced(page: WebDriver, address: str, words: dict[str, str]) -> None:
    """A fault past the door gives a short report code; the next question is answered."""
    empty_sheet(page, address, "fold-time")
    wait_runtime(page)
    fault = page.execute_async_script(ASK, None, QUESTION)  # no name at all: past what the door takes
    assert fault["code"] == "fault"
    assert len(fault["report"]) == 6
    assert fault["trace"] != ""
    assert page.execute_async_script(ASK, "fold-time", QUESTION) == answering.run(
        "fold-time", QUESTION, words
    )


def test_a_worker_that_hangs_is_replaced_and_asked_once_more(
    page: WebDriver, address: str, words: dict[str, str]
) -> None:
    """No answer within ten seconds ends that worker; a new one gets the same question."""
    empty_sheet(page, address, "fold-time")
    wait_runtime(page)
    page.execute_script(ONCE_DEAF, QUESTION)
    assert page.execute_async_script(ASK, "fold-time", QUESTION) == answering.run(
        "fold-time", QUESTION, words
    )
    assert page.execute_script("return [asked, waits[0]]") == [["fold-time", "fold-time"], 10_000]
    assert runtime_state(page) == "ready"


def broken_page(host: Host, browser: WebDriver) -> WebDriver:
    """Open the fold-time page and wait until its Python has failed to start."""
    browser.get(host.address + PAGES["fold-time"])
    wait_runtime(browser, "failed")
    return browser


def damage_runtime(host: Host, damage: bytes) -> None:
    """Send other bytes for Python's WebAssembly, in both its forms."""
    host.tamper(WASM, damage)
    host.tamper(f"{WASM}.packed", damage)


def test_a_damaged_runtime_leaves_the_page_useful(
    host: Host, phone: WebDriver, words: dict[str, str]
) -> None:
    """With a broken file the page says what to do, keeps what is written, and its table stands.

    The file is empty at first; asked for again it is cut short; then it is whole.
    """
    damage_runtime(host, b"")
    broken_page(host, phone)
    assert words["page.runtime.failed.damaged"] in runtime_line(phone)
    write(phone, "runs_s[0]", "17.2")
    answer = shown(phone)
    assert answer["missing"].startswith("Still needed: ")
    assert answer["cautions"] == ["unsupported-leveler", "spring-energy", "people-clear", "lip-path"]
    visible = phone.execute_script(
        "return ['[data-example]', '[data-look-up]']"
        ".every((part) => document.querySelector(part).offsetParent !== null)"
    )
    assert visible is True
    host.mend()
    damage_runtime(host, b"\0asm\1\0\0\0 but nothing more")
    asked = host.requests.count(f"{WASM}.packed")
    press(phone, "[data-act=restart]")
    assert runtime_state(phone) == "starting"
    wait_runtime(phone, "failed")
    assert host.requests.count(f"{WASM}.packed") > asked
    assert words["page.runtime.failed.damaged"] in runtime_line(phone)
    host.mend()
    press(phone, "[data-act=restart]")
    wait_runtime(phone)
    assert entry(phone, "runs_s[0]").get_attribute("value") == "17.2"


def test_a_worker_that_cannot_load_says_so(host: Host, phone: WebDriver, words: dict[str, str]) -> None:
    """Where nothing keeps files and the worker's own script is broken, the page does not wait for ever."""
    host.tamper("service-worker.js", b"this is no script")
    host.tamper("half-turn/worker/python.js", b"neither is this")
    broken_page(host, phone)
    assert words["page.runtime.failed"] in runtime_line(phone)


def test_without_a_service_worker_a_damaged_file_is_noticed(
    host: Host, phone: WebDriver, words: dict[str, str]
) -> None:
    """Files that come over the network are held against the edition's hashes before Python runs them."""
    host.tamper("service-worker.js", b"this is no script")
    host.tamper("half-turn/pyodide/python_stdlib.zip", b"PK nothing")
    broken_page(host, phone)
    assert words["page.runtime.failed.damaged"] in runtime_line(phone)


def test_without_a_service_worker_the_network_serves(host: Host, phone: WebDriver) -> None:
    """Where nothing can be kept, the calculators still run from the host's own files.

    This host, as many do, knows no script but .js.
    """
    host.tamper("service-worker.js", b"this is no script")
    open_sheet(phone, host.address, "fold-time")
    wait_runtime(phone)
    for index, text in enumerate(("19.0", "19.1", "18.9")):
        write(phone, f"runs_s[{index}]", text)
    take_common_window(phone)
    assert wait_answer(phone)["headline"].startswith("Within the window")
    wait(phone, "return document.documentElement.dataset.offline === 'none'")
