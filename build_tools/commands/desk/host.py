"""Serve the newest good edition on this machine alone, and tell the pages how the last build went."""

from __future__ import annotations

import html
import json
import threading
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler
from pathlib import Path
from typing import Any

from build_tools.commands.desk.edition import DESK
from build_tools.edition.policy import WORKER_FOLDER
from build_tools.edition.serving import ADDRESS, TYPES, LocalServer
from build_tools.places import BROWSER

DESK_FILES = BROWSER / "desk"
PLAIN_PORT = 80
"""Browsers leave this port out of the name that they ask for."""
NOTHING_YET = """<!doctype html>
<html lang="en"><meta charset="utf-8"><title>The handbook could not be built</title>
<main><h1>The handbook could not be built</h1><p>This page opens the book as soon as it can be built.</p>
<pre>{problems}</pre></main><script type="module" src="/{desk}/desk.js"></script></html>
"""


@dataclass
class Desk:
    """What is served: the folder and id of the newest good edition, and the problems of the last build."""

    folder: Path | None = None
    edition: str = ""
    headers: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """What a host sends with the edition's files, as its edition.json says: for `page` and for `worker`."""
    problems: Sequence[str] = ()
    changing: threading.Lock = field(default_factory=threading.Lock)

    def show(self, folder: Path, edition: str) -> Path | None:
        """Serve a new edition from now on; return the folder served until now."""
        with self.changing:
            before, self.folder = self.folder, folder
            self.edition, self.problems = edition, ()
            record = json.loads((folder / "edition.json").read_text(encoding="utf-8"))
            self.headers = record.get("headers", {})
        return before

    def keep_and_tell(self, problems: Sequence[str]) -> None:
        """Go on with the edition that is served, and tell what kept the next one from being built."""
        with self.changing:
            self.problems = tuple(problems)

    def state(self) -> bytes:
        """Return what the pages ask for every second, as JSON."""
        with self.changing:
            return json.dumps({"edition": self.edition, "problems": list(self.problems)}).encode("utf-8")


class DeskHandler(SimpleHTTPRequestHandler):
    """Answers from the edition of the desk; nothing it sends is kept by the browser's own cache."""

    protocol_version = "HTTP/1.1"
    extensions_map = TYPES
    server: LocalServer

    def __init__(self, *arguments: Any, desk: Desk) -> None:
        self.desk = desk
        super().__init__(*arguments, directory=str(desk.folder or DESK_FILES))

    def parse_request(self) -> bool:
        """Answer only what was asked under this machine's own names.

        A page of the web can have its own name lead to this machine (DNS rebinding), and would read drafts.
        """
        if not super().parse_request():
            return False
        port = self.server.server_port
        if self.headers.get("Host", "").lower() in own_names(port):
            return True
        where = f"This book is served to this machine alone: open http://{ADDRESS}:{port}/"
        self.send_error(HTTPStatus.MISDIRECTED_REQUEST, explain=where)
        return False

    def do_GET(self) -> None:
        """Answer one request."""
        path = self.asked_path()
        self.directory = str(self.desk.folder or DESK_FILES)
        if path == f"/{DESK}/state.json":
            self.send("application/json; charset=utf-8", self.desk.state())
        elif path.startswith(f"/{DESK}/"):
            self.directory = str(DESK_FILES)
            self.path = path.removeprefix(f"/{DESK}")
            super().do_GET()
        elif self.desk.folder is None:
            problems = html.escape("\n\n".join(self.desk.problems))
            page = NOTHING_YET.format(problems=problems, desk=DESK)
            self.send(TYPES[".html"], page.encode("utf-8"), HTTPStatus.SERVICE_UNAVAILABLE)
        else:
            super().do_GET()

    def asked_path(self) -> str:
        """Return the path that was asked for, "" where the request could not be read."""
        return getattr(self, "path", "").partition("?")[0]

    def send_head(self) -> Any:
        """Open the file that is asked for; an address that no file can have, such as /%00, has none."""
        try:
            return super().send_head()
        except ValueError:
            return self.send_error(HTTPStatus.NOT_FOUND)

    def send(self, kind: str, content: bytes, status: HTTPStatus = HTTPStatus.OK) -> None:
        """Send one whole answer."""
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def end_headers(self) -> None:
        """Let nothing be kept but what the service worker keeps, and send the headers of the edition."""
        self.send_header("Cache-Control", "no-store")
        kind = "worker" if self.asked_path().startswith(f"/{WORKER_FOLDER}") else "page"
        for name, value in self.desk.headers.get(kind, {}).items():
            self.send_header(name, value)
        super().end_headers()

    def list_directory(self, path: Any) -> None:
        """Show no folder listings: a deployed book has none."""
        self.send_error(HTTPStatus.NOT_FOUND)

    def log_message(self, format: str, *arguments: Any) -> None:
        """Keep the terminal for what the author has to read."""


def own_names(port: int) -> set[str]:
    """Return what a browser on this machine sends as Host for a server at this port."""
    names = [ADDRESS, "localhost", "[::1]"]
    return {f"{name}:{port}" for name in names} | ({*names} if port == PLAIN_PORT else set())


def open_host(desk: Desk, port: int) -> LocalServer:
    """Listen on this machine's own address. Raises OSError where the port is taken."""
    return LocalServer((ADDRESS, port), partial(DeskHandler, desk=desk))
