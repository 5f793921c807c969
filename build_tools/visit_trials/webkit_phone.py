"""A WebKitGTK that can be killed and opened again with all that it kept, which its driver's cannot.

The driver ends its session with the first process that dies, and its browser keeps nothing beyond that. So
the same small browser is opened as a person opens it, with a page of ours that holds the book in a frame: it
fetches scripts from us, runs them in the frame, and sends back what they give. Both stand at one origin.
"""

from __future__ import annotations

import json
import os
import queue
import shutil
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

from build_tools.browsers.engines import screen
from build_tools.browsers.host import TYPES
from build_tools.browsers.trial import kill_all
from build_tools.edition.edition import write_edition

SMALL_BROWSER = "MiniBrowser"
LIBRARIES = ("/usr/lib", "/usr/libexec")
PREFIX = "/handbook/"
HOLDER = "/holder.html"
ASKS_S = 1.0
ANSWER_S = 120.0
HOLDS = """<!doctype html><meta charset="utf-8"><title>Holds the book</title>
<style>body { margin: 0 } iframe { border: 0; width: 390px; height: 844px }</style><iframe></iframe>
<script>
const frame = document.querySelector("iframe");
const opened = (address) => new Promise((resolve) => {
    frame.onload = () => resolve(null);
    frame.src = address;
});
const run = (script, given) => new Promise((resolve, reject) => {
    const body = `with (frame) { return (function () { ${script} }).apply(frame, given); }`;
    try {
        const found = new Function("frame", "given", body)(frame.contentWindow, [...given, resolve]);
        if (!script.includes("arguments[arguments.length - 1]")) resolve(found);
    } catch (fault) { reject(fault); }
});
(async () => {
    for (;;) {
        const asked = await fetch("/next", { cache: "no-store" }).then((answer) => answer.json());
        if (!asked) continue;
        const found = asked.address ? opened(asked.address) : run(asked.script, asked.given);
        const told = await found.then((value) => ({ value }), (fault) => ({ fault: String(fault) }));
        await fetch("/told", { method: "POST", body: JSON.stringify({ number: asked.number, ...told }) });
    }
})();
</script>
"""


class Framed:
    """The open browser, with those methods of a driver that the trials call."""

    def __init__(self, process: subprocess.Popen[bytes], server: _Server) -> None:
        self._process, self._server = process, server

    def get(self, address: str) -> None:
        """Open an address in the frame."""
        self._ask(address=address)

    def execute_script(self, script: str, *given: Any) -> Any:
        """Run the body of a function in the frame and give what it returns. Raises ConnectionError."""
        return self._ask(script=script, given=given)

    def execute_async_script(self, script: str, *given: Any) -> Any:
        """The same for a function whose last argument is called with what to give."""
        return self._ask(script=script, given=given)

    def _ask(self, **asked: Any) -> Any:
        number = self._server.ask(asked)
        end = time.monotonic() + ANSWER_S
        while time.monotonic() < end:
            if self._process.poll() is not None:
                raise ConnectionError("the browser is gone")
            with suppress(queue.Empty):
                told = self._server.told.get(timeout=0.05)
                if told["number"] == number and "fault" in told:
                    raise RuntimeError(told["fault"])
                if told["number"] == number:
                    return told["value"]
        raise TimeoutError(f"no answer to {asked}")


class _Server(ThreadingHTTPServer):
    """Serves the book, the page that holds it, and what is asked of that."""

    daemon_threads = True

    def __init__(self, site: Path) -> None:
        super().__init__(("127.0.0.1", 0), _Handler)
        self.site = site
        self.asked: queue.Queue[dict[str, Any]] = queue.Queue()
        self.told: queue.Queue[dict[str, Any]] = queue.Queue()
        self.has_network = True
        self._number = 0

    def ask(self, asked: dict[str, Any]) -> int:
        """Put something to do into the line; return its number."""
        self._number += 1
        self.asked.put({"number": self._number, **asked})
        return self._number

    def forget(self) -> None:
        """Begin new lines: whoever waits at the old ones is gone."""
        self.asked, self.told = queue.Queue(), queue.Queue()


class _Handler(BaseHTTPRequestHandler):
    server: _Server

    def do_GET(self) -> None:
        if self.path == "/next":
            asked = None
            with suppress(queue.Empty):
                asked = self.server.asked.get(timeout=ASKS_S)
            self._send(json.dumps(asked).encode(), ".json")
        elif self.path == HOLDER:
            self._send(HOLDS.encode(), ".html")
        elif self.server.has_network and self.path.startswith(PREFIX):
            name = self.path.removeprefix(PREFIX).partition("?")[0] or "index.html"
            file = self.server.site / name
            if file.is_file():
                self._send(file.read_bytes(), file.suffix)
                return
            self.send_error(404)
        else:
            self.close_connection = True  # as in a dead spot

    def do_POST(self) -> None:
        body = self.rfile.read(int(self.headers["Content-Length"]))
        self.server.told.put(json.loads(body))
        self._send(b"null", ".json")

    def _send(self, content: bytes, ending: str) -> None:
        with suppress(ConnectionError):
            self.send_response(200)
            self.send_header("Content-Type", TYPES.get(ending, "application/octet-stream"))
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)

    def log_message(self, *_: object) -> None:
        return


class BookHost:
    """The book's address, and its network that can be taken away."""

    def __init__(self, server: _Server) -> None:
        self._server = server

    @property
    def address(self) -> str:
        """The address of the book's root, with its closing slash."""
        return f"http://127.0.0.1:{self._server.server_address[1]}{PREFIX}"

    def stop(self) -> None:
        """From now on nothing of the book is answered."""
        self._server.has_network = False


class WebkitPhone:
    """A browser whose storage lives in a folder, and which can be killed and opened again."""

    def __init__(self, folder: Path, server: _Server, display: str) -> None:
        self._folder, self._server, self._display = folder, server, display
        self.host = BookHost(server)
        self._open()

    def kill(self) -> None:
        """Kill every process of it at once."""
        kill_all(self._process.pid, itself=True)

    def restart(self) -> None:
        """Open it anew, whatever state it is in."""
        self.close()
        self._server.forget()
        self._open()

    def close(self) -> None:
        """Kill it, and wait until it is gone."""
        self.kill()
        self._process.wait()

    def _open(self) -> None:
        own = {
            name: str(self._folder / name) for name in ("XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME")
        }
        surroundings = {**os.environ, **own, "DISPLAY": self._display}
        surroundings["WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS"] = "1"  # it opens nothing but our own pages
        surroundings.pop("WAYLAND_DISPLAY", None)
        address = f"http://127.0.0.1:{self._server.server_address[1]}{HOLDER}"
        command = [str(small_browser()), address]
        self._process = subprocess.Popen(
            command, env=surroundings, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        self.browser = Framed(self._process, self._server)


def for_a_frame(site: Path, copy: Path) -> Path:
    """Copy a book into one whose keeper sends no headers: with them no page of it stands in a frame."""
    shutil.copytree(site, copy)
    edition = json.loads((copy / "edition.json").read_text("utf-8"))
    write_edition(copy, date=edition["date"], preview=False)
    return copy


def small_browser() -> Path | None:
    """Return where WebKitGTK's own small browser is, None where it is not."""
    found = shutil.which(SMALL_BROWSER)
    if found:
        return Path(found)
    places = (
        place for library in LIBRARIES for place in Path(library).glob(f"**/webkit2gtk-*/{SMALL_BROWSER}")
    )
    return next(places, None)


@contextmanager
def webkit_phone(folder: Path, site: Path) -> Iterator[WebkitPhone]:
    """A WebKitGTK phone for the time of the block."""
    server = _Server(for_a_frame(site, folder / "book"))
    Thread(target=server.serve_forever, args=(0.02,), daemon=True).start()
    with screen() as display:
        phone = WebkitPhone(folder, server, display)
        try:
            yield phone
        finally:
            phone.close()
            server.shutdown()
            server.server_close()
