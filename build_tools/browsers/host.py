"""A static host for the browser tests: it can be stopped, started again, watched and made to misbehave."""

from __future__ import annotations

import threading
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import unquote, urlsplit

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript",
    ".css": "text/css",
    ".json": "application/json",
    ".wasm": "application/wasm",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".webmanifest": "application/manifest+json",
    ".xml": "application/xml",
}
BLANK = "/blank.html"
CACHE = "max-age=600"  # as many hosts send: the book must not be fooled by the browser's own cache


class Host:
    """Serves `folder` under `prefix` on a port of its own that it keeps over stop() and start().

    `requests` lists the paths asked for, relative to the prefix, without their query, in order; `collected`
    only those that the service worker asked for to keep them; `strays` what was asked for outside the book.
    With `strips_html` it leads from x.html to x and shows the page there, as many static hosts do.
    BLANK, outside the book, is always answered with an empty page: from there a test reaches the storage.
    """

    def __init__(self, folder: Path, prefix: str = "/handbook/") -> None:
        self.folder = folder
        self.prefix = prefix
        self.requests: list[str] = []
        self.collected: list[str] = []
        self.strays: list[str] = []
        self.strips_html = False
        self._port = 0
        self._server: ThreadingHTTPServer | None = None
        self._bytes: dict[str, bytes] = {}
        self._cut: set[str] = set()
        self._redirects: dict[str, str] = {}
        self._statuses: dict[str, int] = {}
        self._answers_left: int | None = None
        self._last_breaks_off = False
        self._actions: dict[str, Callable[[], None]] = {}
        self._lock = threading.Lock()

    @property
    def address(self) -> str:
        """The address of the book's root, with its closing slash."""
        return f"http://127.0.0.1:{self._port}{self.prefix}"

    @property
    def origin(self) -> str:
        """Scheme, name and port."""
        return f"http://127.0.0.1:{self._port}"

    def start(self) -> Host:
        """Begin to answer; the same port as before, if there was one."""
        host = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                if host._server is self.server:  # a connection opened ahead may be used after stop()
                    host._answer(self)

            def log_message(self, *_: object) -> None:
                return

        self._server = _Server(("127.0.0.1", self._port), Handler)
        self._port = self._server.server_address[1]
        threading.Thread(target=self._server.serve_forever, args=(0.02,), daemon=True).start()
        return self

    def stop(self) -> None:
        """Close the port: from now on a connection is refused, as in a dead spot."""
        if self._server is not None:
            server, self._server = self._server, None
            server.shutdown()
            server.server_close()

    def tamper(self, path: str, content: bytes) -> None:
        """Answer `path` with other bytes than the file's, with a good status."""
        self._bytes[path] = content

    def cut(self, path: str) -> None:
        """Break the connection in the middle of `path`."""
        self._cut.add(path)

    def fail(self, path: str, status: int) -> None:
        """Answer `path` with its right bytes under an error status."""
        self._statuses[path] = status

    def redirect(self, path: str, to: str) -> None:
        """Answer `path` with a redirect to another path of the book."""
        self._redirects[path] = to

    def when_asked(self, path: str, action: Callable[[], None]) -> None:
        """Do `action` once, just before `path` is answered the next time."""
        self._actions[path] = action

    def answer_only(self, count: int, *, last_breaks_off: bool = False) -> None:
        """Answer `count` more requests, then break every connection until mend().

        With `last_breaks_off` the first request that is not answered gets half of its bytes.
        """
        self._answers_left = count
        self._last_breaks_off = last_breaks_off

    @property
    def is_broken(self) -> bool:
        """Whether a request has been left without its answer since answer_only()."""
        return self._answers_left is not None and self._answers_left < 0

    def mend(self) -> None:
        """Be an honest host again."""
        self._bytes.clear()
        self._cut.clear()
        self._redirects.clear()
        self._statuses.clear()
        self._answers_left = None
        self._last_breaks_off = False

    def _answer(self, handler: BaseHTTPRequestHandler) -> None:
        path = unquote(urlsplit(handler.path).path)
        if not path.startswith(self.prefix):
            self._answer_stray(handler, path)
            return
        name = path.removeprefix(self.prefix)
        with self._lock:
            self.requests.append(name)
            if _is_for_keeping(handler) and name != "edition.json":
                self.collected.append(name)
            if self._answers_left is not None:
                self._answers_left -= 1
            broken = self.is_broken
            halved = broken and self._last_breaks_off
            self._last_breaks_off = self._last_breaks_off and not broken
            self._actions.pop(name, _nothing)()
        if halved:
            self._send(handler, name, halved=True)
        elif broken:
            handler.close_connection = True
        elif name in self._redirects:
            self._lead(handler, self._redirects[name])
        elif self.strips_html and name.endswith(".html"):
            self._lead(handler, name.removesuffix(".html").removesuffix("index"))
        elif self.strips_html and (self.folder / f"{name}.html").is_file():
            self._send(handler, f"{name}.html")
        else:
            self._send(handler, name)

    def _lead(self, handler: BaseHTTPRequestHandler, name: str) -> None:
        handler.send_response(302)
        handler.send_header("Location", self.prefix + name)
        handler.end_headers()

    def _answer_stray(self, handler: BaseHTTPRequestHandler, path: str) -> None:
        if path != BLANK:
            self.strays.append(path)
            handler.send_error(404)
            return
        handler.send_response(200)
        handler.send_header("Content-Type", TYPES[".html"])
        handler.send_header("Content-Length", "0")
        handler.end_headers()

    def _send(self, handler: BaseHTTPRequestHandler, name: str, *, halved: bool = False) -> None:
        file = self.folder / (name + "index.html" if name == "" or name.endswith("/") else name)
        content = self._bytes.get(name, file.read_bytes() if file.is_file() else None)
        if content is None:
            handler.send_error(404)
            return
        handler.send_response(self._statuses.get(name, 200))
        handler.send_header("Content-Type", TYPES.get(file.suffix, "application/octet-stream"))
        handler.send_header("Content-Length", str(len(content)))
        handler.send_header("Cache-Control", CACHE)
        handler.end_headers()
        handler.wfile.write(content[: len(content) // 2] if halved or name in self._cut else content)


def _is_for_keeping(handler: BaseHTTPRequestHandler) -> bool:
    """The service worker alone asks past the browser's own cache, by fetch()."""
    asked = {name.lower(): value for name, value in handler.headers.items()}
    return asked.get("sec-fetch-dest") == "empty" and asked.get("cache-control") == "no-cache"


def _nothing() -> None:
    return


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    allow_reuse_address = True

    def handle_error(self, *_: object) -> None:
        """A browser that closes early is no event here."""
