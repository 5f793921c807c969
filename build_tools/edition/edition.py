"""Make a built site into an edition: drop what no phone needs, pack large files, list each with its hash.

An edition is what `edition.json` lists. Its id is the hash of what a phone keeps, so the same pages give the
same id wherever they are built; `edition.json` and `service-worker.js` themselves are in no tier.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TypedDict
from urllib.parse import quote

from build_tools.book.withdrawn import Withdrawal
from build_tools.edition.packing import Packing, pack
from build_tools.edition.policy import HEADER_FILES
from build_tools.places import BROWSER

WORKERS = BROWSER / "service_worker"
READING, CALCULATORS = "reading", "calculators"
CALCULATOR_FILES = (
    "half-turn/pyodide/",
    "half-turn/worker/",
    "half-turn/calculators.json",
    "half-turn/page/visit.js",
    "half-turn/style/visit.css",
    "half-turn/visit_",
)
"""A visit asks the calculators at every step, so that what it alone needs is kept with them."""
NEVER_KEPT = ("edition.json", "service-worker.js", "404.html", "sitemap.xml", "sitemap.xml.gz", *HEADER_FILES)
SEARCH_LANGUAGES = "assets/javascripts/lunr"
THEME_ICON = "assets/images/favicon.png"
PACKED = ".packed"  # no suffix that a server or proxy takes for an encoding
PACK_BELOW = 0.9  # a file that shrinks less than this is sent as it is


class PackedFile(TypedDict):
    """The packed copy of a file: address from the site's root, hash and size of the packed bytes."""

    url: str
    sha256: str
    bytes: int


class _BookFile(TypedDict):
    url: str
    sha256: str
    bytes: int


class BookFile(_BookFile, total=False):
    """A file of a tier: address from the site's root, hash and size of its plain bytes, any packed copy."""

    packed: PackedFile


def write_edition(
    site: Path,
    *,
    date: str,
    preview: bool,
    withdrawn: Sequence[Withdrawal] = (),
    headers: Mapping[str, object] | None = None,
    packing: Packing | None = None,
) -> None:
    """Finish the built `site` as the edition of `date` (2026-11-20).

    The same pages give the same bytes. `headers` are those of policy.py, sent with the edition's files;
    `packing` is what has been packed of them already.
    A preview keeps nothing on a phone: it only gets a worker that removes one that an earlier edition left at
    the same address.
    """
    if preview:
        shutil.copyfile(WORKERS / "retire.js", site / "service-worker.js")
        return
    remove_unneeded(site)
    renew_sitemap(site, date=date)
    shutil.copyfile(WORKERS / "service_worker.js", site / "service-worker.js")
    tiers = read_tiers(site, packing or Packing())
    edition = {
        "edition": edition_id(tiers),
        "date": date,
        "language": _page_language(site),
        "words": _worker_words(site),
        "headers": headers or {},
        "tiers": tiers,
        "withdrawn": sorted(withdrawn, key=lambda page: (page["url"], page["before"])),
    }
    text = json.dumps(edition, ensure_ascii=False, separators=(",", ":"))
    (site / "edition.json").write_text(text + "\n", encoding="utf-8")


def remove_unneeded(site: Path) -> None:
    """Remove source maps, earlier packed copies, search languages and a theme's icon that nothing loads."""
    for file in [*site.rglob("*.map"), *site.rglob("*" + PACKED)]:
        file.unlink()
    icon = site / THEME_ICON
    if icon.is_file() and not any(THEME_ICON in page.read_text("utf-8") for page in site.rglob("*.html")):
        icon.unlink()
    folder = site / SEARCH_LANGUAGES
    needed = search_language_files(site)
    for file in sorted(folder.rglob("*.js")):
        if file.relative_to(folder).as_posix() not in needed:
            file.unlink()
    for empty in (folder / "min", folder):
        if empty.is_dir() and not any(empty.iterdir()):
            empty.rmdir()


def search_language_files(site: Path) -> set[str]:
    """The files below the search languages' folder that the theme's search worker loads for this site.

    English is built into the worker; it loads the rest as it reads the index (seen in Material 9.8.2).
    """
    index = site / "search" / "search_index.json"
    languages = json.loads(index.read_text(encoding="utf-8"))["config"]["lang"] if index.is_file() else []
    others = [language for language in languages if language != "en"]
    files = {f"min/lunr.{language}.min.js" for language in others}
    if "ja" in others:
        files.add("tinyseg.js")
    if {"hi", "th"} & set(others):
        files.add("wordcut.js")
    if len(languages) > 1:
        files.add("min/lunr.multi.min.js")
    return files | {"min/lunr.stemmer.support.min.js"} if files else files


def renew_sitemap(site: Path, *, date: str) -> None:
    """Date the sitemap as the edition, not by the day of the build; remove one that lists nothing."""
    plain, packed = site / "sitemap.xml", site / "sitemap.xml.gz"
    packed.unlink(missing_ok=True)
    if not plain.is_file():
        return
    text = plain.read_text(encoding="utf-8")
    if "<loc>" not in text:  # without a site address the host has nothing to list
        plain.unlink()
        return
    text = re.sub(r"<lastmod>[^<]*</lastmod>", f"<lastmod>{date}</lastmod>", text)
    plain.write_text(text, encoding="utf-8")
    packed.write_bytes(pack(text.encode()))


def read_tiers(site: Path, packing: Packing) -> dict[str, list[BookFile]]:
    """List every file that a phone keeps, by tier and address; write the packed copies of large ones."""
    paths = {path.relative_to(site).as_posix(): path for path in sorted(site.rglob("*")) if path.is_file()}
    files: dict[str, BookFile] = {}
    for url, path in paths.items():
        if url not in NEVER_KEPT and not url.endswith(PACKED):
            content = path.read_bytes()
            files[url] = {"url": quote(url), "sha256": packing.begin(content), "bytes": len(content)}
    tiers: dict[str, list[BookFile]] = {READING: [], CALCULATORS: []}
    for url, file in files.items():
        packed = packing.copy(file["sha256"])
        if packed is not None and len(packed) < PACK_BELOW * file["bytes"]:
            paths[url].with_name(paths[url].name + PACKED).write_bytes(packed)
            file["packed"] = {"url": quote(url + PACKED), "sha256": _sha256(packed), "bytes": len(packed)}
        tiers[tier_of(url)].append(file)
    return tiers


def tier_of(url: str) -> str:
    """The tier of a file by its address from the site's root."""
    return CALCULATORS if url.startswith(CALCULATOR_FILES) else READING


def edition_id(tiers: dict[str, list[BookFile]]) -> str:
    """Sixteen hex digits that change with any byte of any kept file, its address or its tier."""
    lines = [f"{tier} {file['sha256']} {file['url']}\n" for tier, files in tiers.items() for file in files]
    return _sha256("".join(sorted(lines)).encode())[:16]


def _sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _worker_words(site: Path) -> dict[str, str]:
    """The sentences that the service worker says by itself, when the words file may be missing."""
    words = json.loads((site / "half-turn" / "words.json").read_text(encoding="utf-8"))
    return {code: sentence for code, sentence in words.items() if code.startswith("page.notice.")}


def _page_language(site: Path) -> str:
    head = (site / "index.html").read_text(encoding="utf-8")[:2000]
    found = re.search(r'<html[^>]*\blang="([^"]+)"', head)
    return found.group(1) if found else "en"
