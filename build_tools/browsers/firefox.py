"""Firefox without a driver of its own: it is spoken to by WebDriver BiDi, which it understands by itself.

Commands and answers: WebDriver BiDi (W3C Working Draft, https://www.w3.org/TR/webdriver-bidi/).
"""

from __future__ import annotations

import itertools
import json
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from websocket import WebSocket, create_connection

from build_tools.browsers.needed import FIREFOX_PROGRAMS

PHONE = {"width": 390, "height": 844}
PORT_FILE = "WebDriverBiDiServer.json"
START_S = 60
ANSWER_S = 180
QUIT_S = 30
CALL = """async (text) => {
    const given = JSON.parse(text);
    const run = function () { %s };
    return JSON.stringify(await run(...given) ?? null);
}"""
CALL_BACK = """async (text) => {
    const given = JSON.parse(text);
    const run = function () { %s };
    return JSON.stringify(await new Promise((done) => run(...given, done)) ?? null);
}"""


class FirefoxFault(RuntimeError):
    """What Firefox answered to a command that it would not do, or a script's own error."""


class Firefox:
    """One tab of a Firefox of phone size, with those methods of Selenium's drivers that our helpers call."""

    def __init__(self, socket: WebSocket, process: int) -> None:
        self._socket, self.process = socket, process
        self._numbers = itertools.count(1)
        self._ask("session.new", capabilities={})
        self._tab = {"context": self._ask("browsingContext.getTree")["contexts"][0]["context"]}
        self._ask("browsingContext.setViewport", **self._tab, viewport=PHONE)

    def get(self, url: str) -> None:
        """Open an address and wait until it is loaded."""
        self._ask("browsingContext.navigate", **self._tab, url=url, wait="complete")

    def refresh(self) -> None:
        """Load the page again and wait until it is loaded."""
        self._ask("browsingContext.reload", **self._tab, wait="complete")

    @property
    def current_url(self) -> str:
        """The address of the open page."""
        return str(self.execute_script("return location.href"))

    def execute_script(self, script: str, *arguments: Any) -> Any:
        """Run the body of a function and give what it returns, through JSON. Raises FirefoxFault."""
        return self._call(CALL % script, arguments)

    def execute_async_script(self, script: str, *arguments: Any) -> Any:
        """Run the body of a function whose last argument is called with what to give. Raises FirefoxFault."""
        return self._call(CALL_BACK % script, arguments)

    def find_elements(self, by: str, selector: str) -> list[dict[str, Any]]:
        """Locate nodes by a CSS selector, as references of the protocol."""
        locator = {"type": "css", "value": selector}
        found = self._ask("browsingContext.locateNodes", **self._tab, locator=locator)
        nodes: list[dict[str, Any]] = found["nodes"]
        return nodes

    def quit(self) -> None:
        """Close the browser."""
        self._ask("browser.close")
        self._socket.close()

    def _call(self, function: str, arguments: tuple[Any, ...]) -> Any:
        answer = self._ask(
            "script.callFunction",
            functionDeclaration=function,
            arguments=[{"type": "string", "value": json.dumps(arguments)}],
            target=self._tab,
            awaitPromise=True,
        )
        if answer["type"] == "exception":
            raise FirefoxFault(answer["exceptionDetails"]["text"])
        return json.loads(answer["result"]["value"])

    def _ask(self, method: str, **params: Any) -> dict[str, Any]:
        number = next(self._numbers)
        self._socket.send(json.dumps({"id": number, "method": method, "params": params}))
        while True:
            answer = json.loads(self._socket.recv())
            if answer.get("id") != number:
                continue  # an event, or the end of something that was given up
            if answer["type"] != "success":
                raise FirefoxFault(f"{method}: {answer['message']}")
            result: dict[str, Any] = answer["result"]
            return result


@contextmanager
def firefox(profile: Path) -> Iterator[Firefox]:
    """Open a Firefox whose storage lives in the folder `profile` for the time of the block."""
    profile.mkdir(parents=True, exist_ok=True)
    (profile / PORT_FILE).unlink(missing_ok=True)
    program = next(filter(None, map(shutil.which, FIREFOX_PROGRAMS)))
    command = [program, "--headless", "--no-remote", "--remote-debugging-port", "0"]
    command += ["--profile", str(profile)]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as running:
        try:
            browser = Firefox(_connected(profile / PORT_FILE), running.pid)
            yield browser
            browser.quit()
            running.wait(QUIT_S)
        finally:
            running.kill()


def _connected(told: Path) -> WebSocket:
    """Connect to where the browser writes that it listens. Raises TimeoutError."""
    end = time.monotonic() + START_S
    while not told.exists() or not (text := told.read_text(encoding="utf-8")).endswith("}"):
        if time.monotonic() > end:
            raise TimeoutError(f"Firefox does not listen: {told}")
        time.sleep(0.1)
    where = json.loads(text)
    address = f"ws://{where['ws_host']}:{where['ws_port']}/session"
    return create_connection(address, timeout=ANSWER_S, suppress_origin=True)
