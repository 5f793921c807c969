"""`serve`: the newest good edition on this machine, what is told when a build fails, and a taken port."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import signal
import socket
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Iterator
from email.message import Message
from pathlib import Path
from urllib.error import HTTPError

import pytest

from build_tools.browsers.small_book import write_small_book
from build_tools.commands.desk import watch
from build_tools.commands.desk.edition import LINE, START, follow_the_desk
from build_tools.commands.desk.host import Desk, open_host, own_names
from build_tools.commands.desk.watch import changed_files, look_at, wait_for_change
from build_tools.commands.serve import BuildFailed, claim, rebuild, separate
from build_tools.edition.serving import LocalServer
from build_tools.faults import Fault

PROBLEMS = """\
content/index.md:3: unknown figure 'x'
  why: no such id
  fix: write 'y'
content/index.md:9: a bare figure
  why: it lives once
  fix: write an id
2 mistakes"""


@pytest.fixture
def desk() -> Desk:
    """A desk with nothing built yet."""
    return Desk()


@pytest.fixture
def server(desk: Desk) -> Iterator[LocalServer]:
    """The desk's own server on a free port."""
    with open_host(desk, 0) as server:
        threading.Thread(target=server.serve_forever, args=(0.02,), daemon=True).start()
        yield server
        server.shutdown()


def get(server: LocalServer, path: str) -> tuple[int, dict[str, str], bytes]:
    """Ask the server for one path; return status, headers and content."""
    try:
        with urllib.request.urlopen(
            f"http://127.0.0.1:{server.server_address[1]}/{path}", timeout=10
        ) as answer:
            return answer.status, lowered(answer.headers), answer.read()
    except HTTPError as refused:
        with refused:
            return refused.code, lowered(refused.headers), refused.read()


def lowered(headers: Message) -> dict[str, str]:
    """The headers by their names in small letters."""
    return {name.lower(): value for name, value in headers.items()}


def build_good(edition: int) -> object:
    """A build that gives an edition of the small book."""
    return lambda folder: write_small_book(folder, edition=edition)


def fail(folder: Path) -> None:
    """A build that an author's mistakes stop."""
    raise BuildFailed(PROBLEMS)


def test_a_failed_rebuild_keeps_the_last_good_edition(
    desk: Desk, server: LocalServer, tmp_path: Path
) -> None:
    """After a mistake the pages stay and the state tells each problem; the next good save clears it."""
    rebuild(desk, tmp_path / "1", build_good(1))  # type: ignore[arg-type]
    first = json.loads(get(server, "half-turn-serve/state.json")[2])
    rebuild(desk, tmp_path / "2", fail)
    kept = get(server, "index.html")[2]
    told = json.loads(get(server, "half-turn-serve/state.json")[2])
    rebuild(desk, tmp_path / "3", build_good(2))  # type: ignore[arg-type]
    last = json.loads(get(server, "half-turn-serve/state.json")[2])

    assert first["problems"] == last["problems"] == []
    assert b"Home of edition 1" in kept
    assert told == {"edition": first["edition"], "problems": separate(PROBLEMS)}
    assert last["edition"] not in ("", first["edition"])
    assert b"Home of edition 2" in get(server, "index.html")[2]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["3"]


def test_a_first_build_that_fails_shows_its_problems(desk: Desk, server: LocalServer, tmp_path: Path) -> None:
    """With no edition yet, every page lists the problems as plain text and waits for the first good build."""
    rebuild(desk, tmp_path / "1", fail)
    status, headers, content = get(server, "procedures/any.html")

    assert (status, headers["content-type"]) == (503, "text/html; charset=utf-8")
    assert "unknown figure &#x27;x&#x27;" in content.decode("utf-8")
    assert b'src="/half-turn-serve/desk.js"' in content


def test_what_is_told_is_split_into_problems() -> None:
    """Each problem begins at a line that is not indented and keeps its reason and its fix."""
    assert separate(PROBLEMS) == [
        "content/index.md:3: unknown figure 'x'\n  why: no such id\n  fix: write 'y'",
        "content/index.md:9: a bare figure\n  why: it lives once\n  fix: write an id",
        "2 mistakes",
    ]


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("index.html", "text/html; charset=utf-8"),
        ("half-turn/page/start.js", "text/javascript; charset=utf-8"),
        ("half-turn/pyodide/pyodide.asm.wasm", "application/wasm"),
        ("half-turn/words.json", "application/json; charset=utf-8"),
        ("half-turn/icons/icon.svg", "image/svg+xml"),
        ("manifest.webmanifest", "application/manifest+json"),
        ("half-turn/pyodide/pyodide.asm.wasm.packed", "application/octet-stream"),
        ("half-turn-serve/desk.js", "text/javascript; charset=utf-8"),
        ("half-turn-serve/desk.css", "text/css; charset=utf-8"),
    ],
)
def test_every_kind_of_file_has_its_type(
    desk: Desk, server: LocalServer, tmp_path: Path, path: str, kind: str
) -> None:
    """Browsers refuse modules and wasm under another type; nothing may stay in the browser's own cache."""
    rebuild(desk, tmp_path / "1", build_good(1))  # type: ignore[arg-type]
    status, headers, _ = get(server, path)

    assert (status, headers["content-type"], headers["cache-control"]) == (200, kind, "no-store")


def status_of(
    server: LocalServer, host: str | None, request: str = "GET /index.html HTTP/1.1"
) -> tuple[int, str]:
    """Send one request by hand, with this Host or none; return the status and the whole answer."""
    with socket.create_connection(server.server_address[:2], timeout=10) as connection:  # type: ignore[arg-type]
        named = "" if host is None else f"Host: {host}\r\n"
        connection.sendall(f"{request}\r\n{named}Connection: close\r\n\r\n".encode("latin-1"))
        answer = b"".join(iter(lambda: connection.recv(65536), b"")).decode("utf-8")
    status = int(answer.split(maxsplit=2)[1]) if answer.startswith("HTTP/") else 0  # 0.9 has no status line
    return status, answer


@pytest.mark.parametrize("method", ["GET", "HEAD"])
@pytest.mark.parametrize("asked", ["index.html", "half-turn-serve/state.json"])
def test_only_this_machines_own_names_are_answered(
    desk: Desk, server: LocalServer, tmp_path: Path, method: str, asked: str
) -> None:
    """A web page whose name leads to this machine gets no draft; the refusal says where the book is."""
    rebuild(desk, tmp_path / "1", build_good(1))  # type: ignore[arg-type]
    port = server.server_address[1]
    request = f"{method} /{asked} HTTP/1.1"
    foreign = ("evil.example", f"evil.example:{port}", "127.0.0.1", f"localhost:{port + 1}", "", None)
    refused = {host: status_of(server, host, request) for host in foreign}

    assert {status for status, _ in refused.values()} == {421}
    assert not any("edition 1" in answer for _, answer in refused.values())
    if method == "GET":
        sentence = f"This book is served to this machine alone: open http://127.0.0.1:{port}/"
        assert all(sentence in answer for _, answer in refused.values())
        own = [f"{name}:{port}" for name in ("127.0.0.1", "localhost", "LOCALHOST", "[::1]")]
        assert [status_of(server, host, request)[0] for host in own] == [200] * 4


def test_a_port_that_browsers_leave_out_needs_no_number() -> None:
    """On port 80 the name stands alone or with its number; on any other, only with it."""
    assert own_names(80) >= {"localhost", "localhost:80", "127.0.0.1", "[::1]"}
    assert "localhost" not in own_names(8000)


@pytest.mark.parametrize("request_line", ["GARBAGE", "GET /a b HTTP/1.1", "GET //[x HTTP/1.1"])
def test_a_request_that_cannot_be_read_is_answered(
    desk: Desk, server: LocalServer, tmp_path: Path, request_line: str
) -> None:
    """What is no request, or no address, gets an error and not a dropped connection."""
    rebuild(desk, tmp_path / "1", build_good(1))  # type: ignore[arg-type]
    own = f"127.0.0.1:{server.server_address[1]}"
    _, answer = status_of(server, own, request_line)

    assert "<p>Error code: 40" in answer


@pytest.mark.parametrize(
    "path",
    [
        "half-turn/",
        "no-such.html",
        "half-turn-serve/",
        "%2e%2e/%2e%2e/etc/passwd",
        "%00",
        "half-turn-serve/%00",
        "%ED%A0%80",
    ],
)
def test_nothing_else_is_served(desk: Desk, server: LocalServer, tmp_path: Path, path: str) -> None:
    """Folders are not listed, and nothing outside the book is given out."""
    rebuild(desk, tmp_path / "1", build_good(1))  # type: ignore[arg-type]

    assert get(server, path)[0] == 404


def test_only_start_js_differs_from_what_is_deployed(tmp_path: Path) -> None:
    """At the desk one file has one line more; its entry and the edition's id follow, all else is the same."""
    deployed = write_small_book(tmp_path / "deployed")
    served = write_small_book(tmp_path / "served")
    edition = follow_the_desk(served)
    paths = {path.relative_to(deployed).as_posix() for path in deployed.rglob("*") if path.is_file()}
    changed = {path for path in paths if (deployed / path).read_bytes() != (served / path).read_bytes()}
    before, after = (
        json.loads((folder / "edition.json").read_text("utf-8")) for folder in (deployed, served)
    )

    assert changed == {START, "edition.json"}
    assert (served / START).read_bytes() == (deployed / START).read_bytes() + LINE.encode("utf-8")
    entry = next(file for file in after["tiers"]["reading"] if file["url"] == START)
    assert entry["sha256"] == hashlib.sha256((served / START).read_bytes()).hexdigest()
    assert entry["bytes"] == (served / START).stat().st_size
    assert after["edition"] == edition != before["edition"]


def test_a_taken_port_is_told_with_what_to_do() -> None:
    """A port that another process has is told in the system's words, with a command that works."""
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        with pytest.raises(Fault) as stopped:
            claim(Desk(), port)

    assert str(stopped.value) == (
        f"Port {port} cannot be used: {os.strerror(errno.EADDRINUSE)}.\n"
        f"  fix: stop what has it, or: python3 -m build_tools serve --port {port + 1}"
    )


def test_an_impossible_port_is_refused() -> None:
    """A number that is no port gets one line."""
    with pytest.raises(
        Fault, match=r"^There is no port 70000\.\n  fix: name one from 1024 to 65535 after --port\.$"
    ):
        claim(Desk(), 70000)


def test_saving_is_noticed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page saved, added or removed is noticed once it is at rest; caches and hidden files are not."""
    monkeypatch.setattr(watch, "LOOK_EVERY_S", 0.01)
    monkeypatch.setattr(watch, "QUIET_S", 0.01)
    page = tmp_path / "content/a.md"
    page.parent.mkdir()
    page.write_text("a", encoding="utf-8")
    before = look_at(tmp_path)
    for ignored in ("content/.a.md.swp", "calculators/__pycache__/x.pyc"):
        (tmp_path / ignored).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / ignored).write_text("", encoding="utf-8")
    assert changed_files(before, look_at(tmp_path)) == []

    page.write_text("ab", encoding="utf-8")
    (tmp_path / "mkdocs.yml").write_text("", encoding="utf-8")
    after, changed = wait_for_change(tmp_path, before)
    assert changed == [page, tmp_path / "mkdocs.yml"]
    page.unlink()
    assert wait_for_change(tmp_path, after)[1] == [page]


def test_the_real_command_serves_the_real_book(project: Path) -> None:
    """`serve` builds, prints an address that answers with the book, and ends at Ctrl-C without a trace."""
    command = [sys.executable, "-m", "build_tools", "serve", "--port", "0"]
    with subprocess.Popen(
        command,
        cwd=project,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # a job in the background ignores it
    ) as serve:
        assert serve.stdout is not None
        said = []
        while not said or not said[-1].startswith("Open "):
            said.append(serve.stdout.readline())
            assert said[-1], serve.communicate()
        state_address = f"{said[-1].split()[1]}half-turn-serve/state.json"
        with urllib.request.urlopen(state_address, timeout=10) as answer:
            state = json.load(answer)
        os.killpg(serve.pid, signal.SIGINT)
        _, trouble = serve.communicate(timeout=20)

    assert state["problems"] == []
    assert said[-2].startswith(f"Edition {state['edition']} in ")
    assert (serve.returncode, trouble) == (130, "\nStopped.\n")
