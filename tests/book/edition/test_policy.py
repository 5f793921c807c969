"""What pages may load and run: a policy ahead of everything, and inline only what has its hash there."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from pathlib import Path

from bs4 import BeautifulSoup, Tag
from markdown import Markdown
from mkdocs.config import load_config

from build_tools.edition.browser_bundle import SITE_FOLDER
from build_tools.places import PROJECT

BROWSER = PROJECT / "build_tools" / "browser"
READS_TEXT_AS_MARKUP = re.compile(
    r"innerHTML|outerHTML|insertAdjacentHTML|createContextualFragment|setHTML|srcdoc|document\.write"
    r"|\beval\(|new Function|set(?:Timeout|Interval)\([\"'`]|DOMParser"
)


def _meta(page: BeautifulSoup) -> Tag:
    found = page.select("head > meta[http-equiv=Content-Security-Policy]")
    assert len(found) == 1
    return found[0]


def _directives(policy: str) -> dict[str, set[str]]:
    """A policy's sources by directive."""
    parts = [part.split() for part in policy.split(";")]
    return {name: set(sources) for name, *sources in parts}


def _sum(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _inline_sums(page: BeautifulSoup) -> set[str]:
    """The hash of each script that a browser would run from the page itself."""
    scripts = [script for script in page.find_all("script") if not script.has_attr("src")]
    return {_sum(str(script.string)) for script in scripts if script.get("type") != "application/json"}


def test_each_page_has_its_policy_ahead_of_all_that_it_loads_or_runs(
    site: Path, pages: dict[str, BeautifulSoup]
) -> None:
    """Before the policy stands nothing but the encoding, which lies within the first 1024 bytes."""
    for name, page in pages.items():
        before = _meta(page).find_previous_siblings()
        assert [str(tag) for tag in before] == ['<meta charset="utf-8"/>'], name
        assert b'<meta charset="utf-8">' in (site / name).read_bytes()[:1024], name
        assert page.select_one("meta[name=referrer]") is not None, name


def test_the_hashes_of_a_page_are_those_of_its_inline_scripts_and_no_other(
    pages: dict[str, BeautifulSoup],
) -> None:
    """A page may run what the build wrote into it and its own host's files, and nothing else."""
    for name, page in pages.items():
        allowed = _directives(str(_meta(page)["content"]))
        assert allowed["script-src"] == {"'self'", *_inline_sums(page)}, name
        styles = {_sum(str(style.string)) for style in page.find_all("style")}
        assert allowed["style-src"] == {"'self'", *styles}, name
        assert allowed["default-src"] == {"'none'"}
        assert not re.search(r"unsafe|\*|https?:", str(_meta(page)["content"])), name


def test_nothing_on_a_page_needs_leave_that_the_policy_does_not_give(pages: dict[str, BeautifulSoup]) -> None:
    """No style attribute, no handler attribute, no link that is a script, nothing from another host."""
    found = [
        (name, tag.name, attribute)
        for name, page in pages.items()
        for tag in page.find_all(True)
        for attribute, value in tag.attrs.items()
        if attribute == "style"
        or attribute.startswith("on")
        or re.match(r"\s*javascript:", str(value), re.I)
        or (attribute in ("src", "srcset", "data", "action") and re.match(r"(?:https?:)?//", str(value)))
    ]
    assert found == []


def test_pictures_have_no_style_of_their_own(site: Path, pages: dict[str, BeautifulSoup]) -> None:
    """A drawing's looks are the style sheet's alone, also where it is a file."""
    drawn = [svg for page in pages.values() for svg in page.select("svg.ht-draw, svg.ht-plot")]
    assert len(drawn) > 20
    assert [svg for svg in drawn if svg.find("style") or svg.find("script")] == []
    files = [path.read_text(encoding="utf-8") for path in (site / SITE_FOLDER).rglob("*.svg")]
    assert files
    assert [text for text in files if re.search(r"<style|<script|\bstyle=|\bon\w+=", text)] == []


def test_hosts_and_phones_get_the_whole_policy(site: Path, pages: dict[str, BeautifulSoup]) -> None:
    """The headers allow the scripts of all pages, forbid framing, and let workers alone make WebAssembly."""
    edition = json.loads((site / "edition.json").read_text(encoding="utf-8"))
    page, worker = (edition["headers"][kind]["Content-Security-Policy"] for kind in ("page", "worker"))
    every = set().union(*(_inline_sums(each) for each in pages.values()))
    assert _directives(page)["script-src"] == {"'self'", *every}
    assert _directives(page)["frame-ancestors"] == {"'none'"}
    assert "unsafe" not in page
    assert _directives(worker)["script-src"] == {"'self'", "'wasm-unsafe-eval'"}

    by_path = (site / "_headers").read_text(encoding="utf-8")
    of_folder = (site / ".htaccess").read_text(encoding="utf-8")
    assert f"\n/*.html\n  Content-Security-Policy: {page}\n" in by_path
    assert f"\n/half-turn/worker/*\n  Content-Security-Policy: {worker}\n" in by_path
    assert f'Header set Content-Security-Policy "{page}"\n' in of_folder
    assert f'Header set Content-Security-Policy "{worker}" env=is_worker\n' in of_folder
    assert by_path.count("Referrer-Policy: no-referrer\n") == 1
    assert of_folder.count('Header set Referrer-Policy "no-referrer"\n') == 1


MODULE_OF = {"AddType": "mod_mime.c", "SetEnvIf": "mod_setenvif.c", "Header": "mod_headers.c"}
"""The directives of `.htaccess`, all of the kind FileInfo (from memory, no host was asked)."""


def rules_with_modules(text: str) -> list[tuple[list[str], str]]:
    """Each rule of a folder's file with the modules that it is asked for, comments left out."""
    modules: list[str] = []
    rules: list[tuple[list[str], str]] = []
    for line in filter(None, map(str.strip, text.splitlines())):
        if opened := re.fullmatch(r"<IfModule (\S+)>", line):
            modules.append(opened[1])
        elif line == "</IfModule>":
            modules.pop()
        elif not line.startswith("#"):
            rules.append(([*modules], line))
    assert modules == []
    return rules


def test_a_host_that_lacks_a_module_leaves_its_rules_out(site: Path) -> None:
    """Each rule asks for its own module, none is of another kind than FileInfo, the policies go together."""
    rules = rules_with_modules((site / ".htaccess").read_text(encoding="utf-8"))
    assert {rule.split()[0] for _, rule in rules} == set(MODULE_OF)
    assert [rule for modules, rule in rules if MODULE_OF[rule.split()[0]] not in modules] == []
    policies = [modules for modules, rule in rules if "Content-Security-Policy" in rule]
    assert policies == [["mod_setenvif.c", "mod_headers.c"]] * 2  # a worker never gets a page's policy alone


def test_the_file_itself_says_what_to_do_where_it_is_not_allowed(site: Path) -> None:
    """Whoever looks into the file for the reason of an error 500 finds it at its top."""
    head = (site / ".htaccess").read_text(encoding="utf-8").partition("<IfModule")[0]
    assert all(line.startswith("# ") for line in head.splitlines())
    assert "AllowOverride without FileInfo" in head
    assert "delete this file there" in head


def test_no_phone_asks_for_the_files_that_only_hosts_read(site: Path) -> None:
    """Hosts refuse to send these files, and an edition that listed them could never be kept."""
    edition = json.loads((site / "edition.json").read_text(encoding="utf-8"))
    listed = {file["url"] for tier in edition["tiers"].values() for file in tier}
    assert not listed & {"_headers", ".htaccess"}
    assert (site / "_headers").is_file()


def test_columns_are_aligned_without_a_style_attribute(good_book: Path) -> None:
    """A table whose columns are aligned in Markdown keeps its alignment under the policy."""
    config = load_config(str(good_book / "mkdocs.yml"))
    config = config.plugins.on_config(config)
    table = "| run | s |\n| :- | -: |\n| 1 | 16.4 |\n"
    extensions = [name for name in config.markdown_extensions if isinstance(name, str)]
    html = Markdown(extensions=extensions, extension_configs=config.mdx_configs or {}).convert(table)
    assert '<td align="right">16.4</td>' in html
    assert "style=" not in html


def test_what_people_type_is_only_ever_text() -> None:
    """No script of ours reads text as markup or as code; a picture is parsed as a picture, in one place."""
    found = [
        (path.relative_to(BROWSER).as_posix(), match[0])
        for path in sorted(BROWSER.rglob("*.js"))
        for match in READS_TEXT_AS_MARKUP.finditer(path.read_text(encoding="utf-8"))
    ]
    assert found == [
        ("page/answer/parsed_picture.js", "DOMParser"),
        ("page/visit/shown/book_pages.js", "DOMParser"),
    ]
