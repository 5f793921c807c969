"""The pages' policy in a browser: it hinders nothing of ours, and it stops what is not ours."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By

from build_tools.browsers.host import Host
from build_tools.registers.registers import Registers
from tests.browser.conftest import NewBrowser
from tests.browser.work_sheet import fill, open_sheet, wait, wait_answer, wait_runtime

LISTEN = """
window.heard = [];
const hear = ({ violatedDirective, blockedURI }) => heard.push(`${violatedDirective} ${blockedURI}`);
addEventListener("securitypolicyviolation", hear);
"""
MARKUP = "<img src=x onerror=ran=1 data-typed>"
READING = ("index.html", "procedures/make-the-dock-safe.html", "know/parts-of-the-leveler.html")


@pytest.fixture(scope="module")
def net_log(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the browser writes down every request, its workers' and its service worker's too."""
    return tmp_path_factory.mktemp("net") / "log.json"


@pytest.fixture
def listening(new_browser: NewBrowser, tmp_path: Path, net_log: Path) -> WebDriver:
    """A browser that hears each breach of the policy before any script of the page runs."""
    browser = new_browser(tmp_path / "profile", f"--log-net-log={net_log}")
    browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": LISTEN})
    return browser


def _told(browser: WebDriver) -> list[str]:
    """What the browser's own log has against a page on account of a policy."""
    told = [str(entry["message"]) for entry in browser.get_log("browser")]
    return [message for message in told if "Content Security Policy" in message]


def _asked_by_pages(net_log: Path) -> set[str]:
    """The hosts asked by pages and workers; what the browser does on its own account has no initiator."""
    record: dict[str, Any] = json.loads(net_log.read_text(encoding="utf-8"))
    begun = record["constants"]["logEventTypes"]["URL_REQUEST_START_JOB"]
    params = [event.get("params", {}) for event in record["events"] if event["type"] == begun]
    return {urlsplit(each["url"]).netloc for each in params if str(each.get("initiator")).startswith("http")}


def test_pages_keep_to_their_policy_and_a_stranger_is_stopped(
    listening: WebDriver, host: Host, net_log: Path, registers: Registers
) -> None:
    """Reading pages and an answering calculator breach nothing, ask their own host alone, and set no cookie.

    Markup that a person types comes back as the text that it is. A script, a handler and a picture from
    elsewhere, put into the page by a script, are stopped and heard of.
    """
    for page in READING:
        listening.get(host.address + page)
        wait(listening, "return document.readyState === 'complete'")
        assert listening.execute_script("return [heard, document.cookie]") == [[], ""], page
    open_sheet(listening, host.address, "service-plan")
    wait_runtime(listening)
    fill(listening, registers.examples["service-plan"]["inputs"] | {"place": MARKUP})
    wait_answer(listening)
    text = listening.execute_script("return document.querySelector('[data-answer]').textContent")
    assert MARKUP in text.replace("\\", "")
    assert listening.execute_script("return [heard, document.cookie, window.ran ?? null]") == [[], "", None]
    assert listening.find_elements(By.CSS_SELECTOR, "[data-typed]") == []
    assert _told(listening) == []

    listening.execute_script(STRANGER)
    heard = wait(listening, "return heard.length === 3 && heard")
    assert sorted(heard) == [f"img-src {ELSEWHERE}", "script-src-attr inline", "script-src-elem inline"]
    assert listening.execute_script("return window.ran ?? null") is None
    assert len(_told(listening)) == 3
    listening.quit()
    assert _asked_by_pages(net_log) == {urlsplit(host.origin).netloc}


ELSEWHERE = "http://127.0.0.2:9/picture.png"
STRANGER = f"""
const script = document.createElement("script");
script.textContent = "window.ran = true";
document.body.append(script);
document.body.setAttribute("onclick", "window.ran = true");
document.body.click();
new Image().src = "{ELSEWHERE}";
"""


def test_the_service_worker_sends_what_a_meta_tag_cannot_say(browser: WebDriver, address: str) -> None:
    """What it serves says that no page may be framed, and gives the worker a policy of its own."""
    browser.get(address)
    wait(browser, "return document.documentElement.dataset.offline === 'complete'", 60)
    ask = "return fetch(arguments[0]).then((answer) => answer.headers.get('Content-Security-Policy'))"
    page = browser.execute_script(ask, "index.html")
    worker = browser.execute_script(ask, "half-turn/worker/python.js")
    assert "frame-ancestors 'none'" in page
    assert "wasm" not in page
    assert "script-src 'self' 'wasm-unsafe-eval'" in worker
