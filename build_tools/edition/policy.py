"""What a page may load and run: its Content Security Policy, and the headers that say the same and more.

Each page carries its own policy, with a hash for each inline script that the theme wrote into it. A meta tag
can forbid neither framing nor bind a worker, so the whole policy also goes out as headers: from the service
worker, from `build_tools serve`, and from a host that reads one of the two files written beside the book.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from textwrap import indent
from typing import TypedDict

WORKER_FOLDER = "half-turn/worker/"
HEADER_FILES = ("_headers", ".htaccess")
"""Read by hosts, never sent by them, so that no phone keeps them."""

_INLINE = {
    kind: re.compile(rf"<{kind}\b(?P<attributes>[^>]*)>(?P<text>.*?)</{kind}\s*>", re.S)
    for kind in ("script", "style")
}
_CHARSET = re.compile(r"<meta charset=[^>]*>")
_ELSEWHERE = re.compile(r"\bsrc=|\btype=[\"']?application/(?:ld\+)?json\b")
"""The text of such an element is not run: the script is a file, or the text is data."""

Inline = tuple[str, str]
"""The kind of an inline element, script or style, and the hash of its text as a policy writes it."""


class Headers(TypedDict):
    """The headers of the book, by name: of every file, and of the workers in their folder."""

    page: dict[str, str]
    worker: dict[str, str]


def inline_parts(html: str) -> frozenset[Inline]:
    """Return the hash of each inline script and style of a page."""
    return frozenset(
        (kind, _hash(found["text"]))
        for kind, pattern in _INLINE.items()
        for found in pattern.finditer(html)
        if not _ELSEWHERE.search(found["attributes"])
    )


def with_policy(html: str, inline: Iterable[Inline]) -> str:
    """Return a page that has these inline elements with its policy ahead of all that it loads or runs.

    Only the encoding stands before it, which browsers look for in the first 1024 bytes alone.
    """
    tags = f'<meta http-equiv="Content-Security-Policy" content="{policy_of(inline)}">'
    tags += '<meta name="referrer" content="no-referrer">'
    return _CHARSET.sub(lambda charset: charset[0] + tags, html, count=1)


def policy_of(inline: Iterable[Inline]) -> str:
    """Return the policy of a page: everything from the book's own host, inline only what has a hash here."""
    sums = sorted(inline)
    scripts, styles = (
        " ".join(f"'{sum_}'" for kind, sum_ in sums if kind == wanted) for wanted in ("script", "style")
    )
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src 'self' {scripts}".strip(),
            f"style-src 'self' {styles}".strip(),
            "img-src 'self' data:",  # the theme's style sheet has its icons in it
            "font-src 'self'",
            "connect-src 'self'",
            "manifest-src 'self'",
            "worker-src 'self'",
            "base-uri 'none'",
            "form-action 'none'",
        )
    )


WORKER_POLICY = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'"
"""Python is WebAssembly, which needs leave to be made; no worker needs any other leave."""


def headers(inline: Iterable[Inline]) -> Headers:
    """Return the headers of a book whose pages have these inline elements."""
    always = {"Referrer-Policy": "no-referrer", "X-Content-Type-Options": "nosniff"}
    page = f"{policy_of(inline)}; frame-ancestors 'none'"
    name = "Content-Security-Policy"
    return {"page": {name: page, **always}, "worker": {name: WORKER_POLICY, **always}}


def write_header_files(site: Path, all_headers: Headers) -> None:
    """Write the two files that tell a host its headers."""
    for name, text in zip(HEADER_FILES, (_path_rules(all_headers), _folder_rules(all_headers)), strict=True):
        (site / name).write_text(text, encoding="utf-8")


def _path_rules(all_headers: Headers) -> str:
    """Write a line for each path and, indented, its headers.

    Some hosts take the last rule that fits, some all of them. So the rule for every path has nothing that
    would bind a worker, and it does not matter which kind of host it is.
    """
    page, worker = all_headers["page"], all_headers["worker"]
    name = "Content-Security-Policy"
    everywhere = {**page, name: "frame-ancestors 'none'"}
    of_pages = {name: page[name]}
    rules = {"/*": everywhere, "/": of_pages, "/*.html": of_pages, f"/{WORKER_FOLDER}*": {name: worker[name]}}
    return "".join(f"{path}\n{_lines(of_path, '  {}: {}')}" for path, of_path in rules.items())


NOT_ALLOWED = """\
# A host that lets folders set nothing passes this file over, and nothing is lost but the headers.
# A host that lets folders set some things, but no types and no headers (AllowOverride without FileInfo),
# answers every page with error 500: delete this file there. Each page still carries its own policy.
"""


def _folder_rules(all_headers: Headers) -> str:
    """Write the rules for the folder that holds them, wherever it stands on its host.

    All of them are of one kind, FileInfo, and each asks first whether the host has the module it needs.
    Whether a host allows that kind no rule can ask: the file says what to do where it does not.
    """
    worker = {"Content-Security-Policy": all_headers["worker"]["Content-Security-Policy"]}
    types = "\n".join(
        (
            "AddType text/javascript .js",
            "AddType application/wasm .wasm",
            "AddType application/manifest+json .webmanifest",
        )
    )
    policies = (
        f'SetEnvIf Request_URI "/{WORKER_FOLDER}" is_worker\n'
        + _lines(all_headers["page"], 'Header set {} "{}"')
        + _lines(worker, 'Header set {} "{}" env=is_worker')
    )
    # Without the first module a worker would get the pages' policy, which forbids it to run Python.
    of_both = _where("mod_setenvif.c", _where("mod_headers.c", policies))
    return NOT_ALLOWED + _where("mod_mime.c", types) + of_both


def _where(module: str, rules: str) -> str:
    """Put rules where only a host that has this module reads them."""
    return f"<IfModule {module}>\n{indent(rules.strip(), '  ')}\n</IfModule>\n"


def _lines(of_path: Mapping[str, str], form: str) -> str:
    return "".join(form.format(name, value) + "\n" for name, value in of_path.items())


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
