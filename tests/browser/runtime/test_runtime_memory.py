"""Python's memory kept on the device: made at rest, used by later starts, thrown away on any doubt."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from selenium.webdriver.chrome.webdriver import WebDriver

from build_tools.browsers.host import Host
from build_tools.browsers.reading import waiting
from build_tools.registers.registers import load_registers
from calculators import answering, explain
from tests.browser.conftest import open_chromium
from tests.browser.work_sheet import PAGES, START_S, wait_runtime

READING = "procedures/make-the-dock-safe.html"
MARK = "python-starting"

ENTRIES = """
const done = arguments[0];
(async () => {
    const name = (await caches.keys()).find((name) => name.endsWith("python-memory"));
    if (!name) return [];
    const cache = await caches.open(name);
    const sizes = (await cache.keys()).map(async (request) =>
        [request.url, (await (await cache.match(request)).arrayBuffer()).byteLength]);
    return Promise.all(sizes);
})().then(done);
"""
SAVE = """
const done = arguments[0];
(async () => {
    const name = (await caches.keys()).find((name) => name.endsWith("python-memory"));
    const [request] = await (await caches.open(name)).keys();
    const kept = await caches.match(request);
    await (await caches.open("spare")).put(request, kept);
})().then(done);
"""
PUT_BACK = """
const done = arguments[0];
(async () => {
    const name = (await caches.keys()).find((name) => name.endsWith("python-memory"));
    await caches.delete(name);
    const spare = await caches.open("spare");
    const [request] = await spare.keys();
    const kept = await spare.match(request);
    const bytes = new Uint8Array(await kept.arrayBuffer());
    const hash = async () => [...new Uint8Array(await crypto.subtle.digest("SHA-256", bytes))]
        .map((byte) => byte.toString(16).padStart(2, "0")).join("");
    const { headers: told } = kept;
    const state = { url: request.url, sha256: told.get("sha256"), length: told.get("memory-bytes") };
    /* spoil */
    const headers = { "sha256": state.sha256, "memory-bytes": state.length };
    await (await caches.open(name)).put(state.url, new Response(bytes, { headers }));
})().then(done, (error) => done(String(error)));
"""
FORGET_ALL = """
const [done] = arguments;
(async () => {
    const name = (await caches.keys()).find((name) => name.endsWith("python-memory"));
    await caches.delete(name);
})().then(done, (error) => done(String(error)));
"""
FORGET_RUNTIME = """
const [ending, done] = arguments;
(async () => {
    const name = (await caches.keys()).find((name) => name.endsWith("files"));
    const root = new URL(document.documentElement.dataset.root + "/", location);
    const { tiers } = await (await fetch(new URL("edition.json", root))).json();
    const { sha256 } = tiers.calculators.find(({ url }) => url.endsWith(ending));
    return (await caches.open(name)).delete(new URL(`sha256/${sha256}`, root));
})().then(done, (error) => done(String(error)));
"""
FLIP = "bytes[5_000_000] ^= 1;"
OTHER_KEY = "state.url = state.url.replace(/[0-9a-f]{64}$/, '0'.repeat(64));"
OTHER_LENGTH = "state.length = '4096';"
OTHER_ANSWER = """
    const said = new TextEncoder().encode("Not sure yet: ");
    for (let at = bytes.indexOf(said[0]); at >= 0; at = bytes.indexOf(said[0], at + 1)) {
        if (said.every((byte, place) => bytes[at + place] === byte)) bytes[at] = "n".charCodeAt(0);
    }
    state.sha256 = await hash();
"""
PROBE = b"""
import { parts } from "./python.js";
const { startFromMemory } = parts["interpreter.js"];
const { findMemory, placeFor, readMemory } = parts["kept_memory.js"];
const { KEY } = parts["runtime_key.js"];
const plain = self.fetch.bind(self);
const isLibrary = (asked) => String(asked).includes("stdlib");
self.fetch = (asked) => (isLibrary(asked) ? Promise.reject(new Error("no library")) : plain(asked));
self.onmessage = async ({ data }) => {
  const python = await startFromMemory(readMemory(await findMemory(await placeFor(KEY))));
  const told = Object.entries(data).map(([name, text]) => {
    const answer = python.answer(name, text);
    const shown = ["picture", "working"].map((what) => python.explain(what, name, text, answer));
    return [name, [answer, ...shown]];
  });
  const drawn = python.python.runPython("import random; random.random()");
  self.postMessage({ told: Object.fromEntries(told), drawn });
};
"""
ASK_PROBE = """
const [inputs, done] = arguments;
const root = new URL(document.documentElement.dataset.root + "/", location);
const worker = new Worker(new URL("half-turn/worker/probe.js", root), {type: "module"});
worker.onmessage = ({data}) => { worker.terminate(); done(data); };
worker.onerror = ({message}) => done(String(message));
worker.postMessage(inputs);
"""
ASK = """
const [name, text, done] = arguments;
const root = new URL(document.documentElement.dataset.root + "/", location);
import(new URL("half-turn/page/runtime.js", root))
    .then(({ askText }) => askText(name, text)).then(done, done);
"""


@pytest.fixture(scope="module")
def words(project: Path) -> dict[str, str]:
    """The book's sentences."""
    return load_registers(project / "content" / "registers")[0].words


@pytest.fixture(scope="module")
def inputs(project: Path) -> dict[str, str]:
    """The first case of each calculator."""
    cases = {name: json.loads((project / f"tests/cases/{name}.json").read_text("utf-8")) for name in PAGES}
    return {name: json.dumps(found[0]["input"]) for name, found in cases.items()}


@pytest.fixture(scope="module")
def memory_host(site: Path) -> Iterator[Host]:
    """The real book, and a worker of the test's own beside its workers."""
    host = Host(site).start()
    host.tamper("half-turn/worker/probe.js", PROBE)
    yield host
    host.stop()


@pytest.fixture(scope="module")
def device(memory_host: Host, tmp_path_factory: pytest.TempPathFactory) -> Iterator[WebDriver]:
    """A browser that has kept the memory of its first start, with a copy of it put aside."""
    browser = open_chromium(tmp_path_factory.mktemp("profile"))
    browser.set_script_timeout(START_S)
    assert started(browser, memory_host) == "files"
    assert memory_state(browser) == "kept"
    browser.execute_async_script(SAVE)
    yield browser
    browser.quit()


def started(browser: WebDriver, host: Host) -> str:
    """Open a page with a calculator and give from what Python started, once it is ready."""
    browser.get(host.address + PAGES["fold-time"])
    wait_runtime(browser)
    return str(browser.execute_script("return document.documentElement.dataset.start"))


def memory_state(browser: WebDriver) -> str:
    """Wait until the page has tried to keep the memory; gives what came of it."""
    script = "return document.documentElement.dataset.memory"
    wait = waiting(browser, START_S)
    return str(wait.until(lambda _: browser.execute_script(script)))


def put_back(browser: WebDriver, spoil: str = "") -> None:
    """Keep the memory put aside once more, spoilt by a script, and forget the doubts."""
    assert browser.execute_async_script(PUT_BACK.replace("/* spoil */", spoil)) is None


def marks(browser: WebDriver) -> list[str]:
    """The marks of starts that are not over."""
    script = "return Object.keys(localStorage).filter((key) => key.endsWith(arguments[0]))"
    return list(browser.execute_script(script, MARK))


def answers_right(browser: WebDriver, inputs: dict[str, str], words: dict[str, str]) -> bool:
    """Whether the page answers the first case of fold-time as this Python does."""
    asked = inputs["fold-time"]
    return bool(
        browser.execute_async_script(ASK, "fold-time", asked) == answering.run("fold-time", asked, words)
    )


def test_a_later_start_comes_from_memory(
    device: WebDriver, memory_host: Host, inputs: dict[str, str], words: dict[str, str]
) -> None:
    """The second start takes the kept memory, answers the same to the last sign, and leaves no mark."""
    assert started(device, memory_host) == "memory"
    assert answers_right(device, inputs, words)
    assert marks(device) == []


def test_memory_holds_every_calculator_and_draws_anew(
    device: WebDriver, memory_host: Host, inputs: dict[str, str], words: dict[str, str]
) -> None:
    """Without its library Python answers and explains every case; two starts draw different numbers."""
    device.get(memory_host.address + READING)
    first = device.execute_async_script(ASK_PROBE, inputs)
    again = device.execute_async_script(ASK_PROBE, {})
    expected = {}
    for name, text in inputs.items():
        answer = answering.run(name, text, words)
        doors = (explain.run_picture, explain.run_working)
        expected[name] = [answer, *(door(name, text, answer, words) for door in doors)]
    assert first["told"] == expected
    assert first["drawn"] != again["drawn"]


@pytest.mark.parametrize(
    "spoil",
    [FLIP, OTHER_KEY, OTHER_ANSWER, OTHER_LENGTH],
    ids=["a bit", "the key", "the answer", "the length"],
)
def test_spoilt_memory_is_thrown_away(
    device: WebDriver, memory_host: Host, inputs: dict[str, str], words: dict[str, str], spoil: str
) -> None:
    """After a flipped bit, of another runtime, answer or length, it gives way to a start from files."""
    device.get(memory_host.address + READING)
    put_back(device, spoil)
    [(spoilt, _)] = device.execute_async_script(ENTRIES)
    assert started(device, memory_host) == "files"
    assert answers_right(device, inputs, words)
    left = dict(device.execute_async_script(ENTRIES))
    assert spoil == OTHER_KEY or left[spoilt] == 0


def test_a_mark_left_over_throws_the_memory_away(device: WebDriver, memory_host: Host) -> None:
    """A mark from a start that never ended puts the memory in doubt, and this runtime's is not kept again."""
    device.get(memory_host.address + READING)
    put_back(device)
    device.execute_script("localStorage.setItem(arguments[0], 'true')", memory_host.address + MARK)
    for _ in range(2):
        assert started(device, memory_host) == "files"
        assert memory_state(device) == "not-kept"
        assert [size for _, size in device.execute_async_script(ENTRIES)] == [0]


@pytest.mark.parametrize("gone", ["pyodide.asm.wasm", "pyodide.asm.js"])
def test_a_runtime_that_is_gone_is_no_doubt(device: WebDriver, memory_host: Host, gone: str) -> None:
    """Where the device threw a file of the runtime away, it is fetched again, and the memory stays."""
    device.get(memory_host.address + READING)
    put_back(device)
    entries = device.execute_async_script(ENTRIES)
    assert entries[0][1] > 0
    assert device.execute_async_script(FORGET_RUNTIME, gone) is True
    memory_host.requests.clear()
    starts = [started(device, memory_host), started(device, memory_host)]
    assert starts == (["files", "memory"] if gone.endswith("wasm") else ["memory", "memory"])
    assert device.execute_async_script(ENTRIES) == entries
    fetched = [path.removesuffix(".packed") for path in memory_host.requests if "pyodide" in path]
    assert fetched == [f"half-turn/pyodide/{gone}"]


def test_leaving_while_python_starts_is_no_doubt(device: WebDriver, memory_host: Host) -> None:
    """A page left in the middle of a start takes its mark with it."""
    device.get(memory_host.address + READING)
    put_back(device)
    for _ in range(3):
        device.get(memory_host.address + PAGES["fold-time"])
        device.get(memory_host.address + READING)
        assert marks(device) == []
    assert started(device, memory_host) == "memory"


def test_an_answer_comes_before_the_memory_and_the_next_start_takes_it_first(
    device: WebDriver, memory_host: Host, inputs: dict[str, str], words: dict[str, str]
) -> None:
    """Memory is never taken behind an answer; the next start takes it before it answers, and keeps it."""
    device.get(memory_host.address + READING)
    assert device.execute_async_script(FORGET_ALL) is None
    for state in ("not-kept", "kept"):
        assert started(device, memory_host) == "files"
        assert answers_right(device, inputs, words)
        assert memory_state(device) == state
    assert started(device, memory_host) == "memory"
    assert answers_right(device, inputs, words)
