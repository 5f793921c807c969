"""An edition as it is written: the same for the same pages, listing what a phone keeps, no more."""

from __future__ import annotations

import gzip
import hashlib
import json
import re
import struct
from pathlib import Path
from typing import Any

import pytest

from build_tools.browsers.small_book import PROJECT, files_of, write_small_book
from build_tools.edition.edition import write_edition
from calculators.shared.words import read_words

WASM = "half-turn/pyodide/pyodide.asm.wasm"
WORKER = PROJECT / "build_tools/browser/service_worker/service_worker.js"


def edition(book: Path) -> dict[str, Any]:
    """The edition's manifest."""
    return dict(json.loads((book / "edition.json").read_text(encoding="utf-8")))


def write(book: Path, path: str, content: bytes) -> None:
    """Put a file into a site."""
    (book / path).parent.mkdir(parents=True, exist_ok=True)
    (book / path).write_bytes(content)


def again(book: Path) -> dict[str, Any]:
    """Make the edition anew and give its manifest."""
    write_edition(book, date="2026-11-20", preview=False)
    return edition(book)


def all_bytes(book: Path) -> dict[str, bytes]:
    """Every file of a site with its bytes."""
    files = [path for path in book.rglob("*") if path.is_file()]
    return {path.relative_to(book).as_posix(): path.read_bytes() for path in files}


def test_two_builds_give_the_same_bytes(book: Path, tmp_path: Path) -> None:
    """The same pages elsewhere, and the same folder finished twice, give the same files to the byte."""
    other = write_small_book(tmp_path / "elsewhere")
    assert all_bytes(other) == all_bytes(book)
    write_edition(other, date="2026-11-20", preview=False)
    assert all_bytes(other) == all_bytes(book)


def test_any_changed_byte_name_or_tier_changes_the_id(book: Path) -> None:
    """The id changes with a byte of any kept file, with a name, an empty file more; not with the date."""
    first = edition(book)["edition"]
    seen = [first]
    for file in files_of(book):
        content = (book / file["url"]).read_bytes()
        write(book, file["url"], content + b"\n")
        seen.append(again(book)["edition"])
        write(book, file["url"], content)
    (book / "jobs/lip.html").rename(book / "jobs/lips.html")
    seen.append(again(book)["edition"])
    (book / "jobs/lips.html").rename(book / "jobs/lip.html")
    for tier in ("half-turn/worker", "half-turn/page"):
        write(book, f"{tier}/more.js", b"")
        seen.append(again(book)["edition"])
        (book / f"{tier}/more.js").unlink()
    assert len(set(seen)) == len(seen)
    write_edition(book, date="2027-01-01", preview=False)
    assert (edition(book)["edition"], edition(book)["date"]) == (first, "2027-01-01")


def test_every_file_is_in_one_tier_with_its_hash_and_size(book: Path) -> None:
    """Runtime, its worker and the calculators' source are the second tier; all else is read first."""
    write(book, "404.html", b"for the host")
    again(book)
    listed = {file["url"]: (file["sha256"], file["bytes"]) for file in files_of(book)}
    unlisted = {"edition.json", "service-worker.js", "404.html", f"{WASM}.packed"}
    there = all_bytes(book)
    packed = {path for path in there if path.endswith(".packed")}
    expected = {path: (hashlib.sha256(content).hexdigest(), len(content)) for path, content in there.items()}
    assert listed == {path: facts for path, facts in expected.items() if path not in unlisted | packed}
    assert len(files_of(book)) == len(listed)
    assert [file["url"] for file in files_of(book, "calculators")] == [
        "half-turn/calculators.json",
        WASM,
        "half-turn/worker/python.js",
    ]


def test_large_files_get_a_packed_copy_that_unpacks_to_them(book: Path) -> None:
    """A packed copy holds the file's bytes, bears no time, and is listed with its own hash and size."""
    file = next(file for file in files_of(book) if file["url"] == WASM)
    packed = (book / f"{WASM}.packed").read_bytes()
    assert gzip.decompress(packed) == (book / WASM).read_bytes()
    assert struct.unpack("<I", packed[4:8]) == (0,)
    assert file["packed"] == {
        "url": f"{WASM}.packed",
        "sha256": hashlib.sha256(packed).hexdigest(),
        "bytes": len(packed),
    }
    assert len(packed) < 0.1 * file["bytes"]


def test_small_and_dense_files_are_sent_as_they_are(book: Path) -> None:
    """A file below 8 kB or that does not shrink has no packed copy; one of an earlier build is removed."""
    write(book, "small.txt", b"a" * 7_999)
    write(book, "large.txt", b"a" * 8_000)
    write(book, "dense.bin", b"".join(hashlib.sha512(str(n).encode()).digest() for n in range(400)))
    write(book, "gone.html.packed", b"")
    again(book)
    packed = {file["url"] for file in files_of(book) if "packed" in file}
    assert {"large.txt"} == packed & {"small.txt", "large.txt", "dense.bin"}
    assert not (book / "gone.html.packed").exists()


STEMMER = "min/lunr.stemmer.support.min.js"


@pytest.mark.parametrize(
    ("languages", "kept"),
    [
        (["en"], set()),
        (["de"], {STEMMER, "min/lunr.de.min.js"}),
        (["en", "ja"], {STEMMER, "min/lunr.multi.min.js", "min/lunr.ja.min.js", "tinyseg.js"}),
        (["th"], {STEMMER, "min/lunr.th.min.js", "wordcut.js"}),
    ],
)
def test_only_the_search_languages_of_the_book_stay(book: Path, languages: list[str], kept: set[str]) -> None:
    """Of the theme's search languages only the files that its worker loads for this book are published."""
    lunr = book / "assets/javascripts/lunr"
    names = [
        "tinyseg.js",
        "wordcut.js",
        *(f"min/lunr.{name}.min.js" for name in ("stemmer.support", "multi", "de", "ja", "th", "fr", "ar")),
    ]
    for name in names:
        write(book, f"assets/javascripts/lunr/{name}", b"//")
    write(book, "search/search_index.json", json.dumps({"config": {"lang": languages}, "docs": []}).encode())
    write(book, "assets/javascripts/bundle.js.map", b"{}")
    again(book)
    assert {path.relative_to(lunr).as_posix() for path in lunr.rglob("*.js")} == kept
    assert lunr.exists() == bool(kept)
    assert not list(book.rglob("*.map"))


def test_the_themes_icon_stays_only_where_a_page_names_it(book: Path) -> None:
    """The theme's own page icon is published when a page links to it, and dropped when none does."""
    icon = "assets/images/favicon.png"
    write(book, icon, b"drawn")
    again(book)
    assert not (book / icon).exists()
    write(book, icon, b"drawn")
    write(book, "page.html", f'<html lang="en"><link rel="icon" href="{icon}">'.encode())
    again(book)
    assert (book / icon).read_bytes() == b"drawn"


def test_sitemap_carries_the_editions_date_or_goes(book: Path) -> None:
    """A sitemap bears the edition's date in both its forms, not the build's; an empty one is removed."""
    line = "<url><loc>https://handbook.test/</loc><lastmod>{}</lastmod></url>"
    write(book, "sitemap.xml", line.format("2031-05-06").encode())
    write(book, "sitemap.xml.gz", gzip.compress(b"old"))
    again(book)
    expected = line.format("2026-11-20").encode()
    assert (book / "sitemap.xml").read_bytes() == expected
    packed = (book / "sitemap.xml.gz").read_bytes()
    assert (gzip.decompress(packed), packed[4:8]) == (expected, bytes(4))
    write(book, "sitemap.xml", b"<urlset></urlset>")
    again(book)
    assert not (book / "sitemap.xml").exists() and not (book / "sitemap.xml.gz").exists()


def test_preview_writes_nothing_but_the_worker_that_removes_one(tmp_path: Path) -> None:
    """A preview is left as MkDocs made it; its worker is the one that takes an earlier edition's away."""
    write(tmp_path, "index.html", b"<html lang='en'>")
    write(tmp_path, "bundle.js.map", b"{}")
    write_edition(tmp_path, date="2026-11-20", preview=True)
    assert set(all_bytes(tmp_path)) == {"index.html", "bundle.js.map", "service-worker.js"}
    assert b"unregister()" in (tmp_path / "service-worker.js").read_bytes()


def test_manifest_works_from_any_folder_and_names_icons_of_their_size(book: Path) -> None:
    """Every address in the web app manifest is relative, and each PNG icon is as large as it says."""
    manifest = json.loads((book / "manifest.webmanifest").read_text(encoding="utf-8"))
    shown = [manifest[key] for key in ("start_url", "scope", "display")]
    assert shown == ["./index.html", "./", "standalone"]
    assert manifest["name"] == "Small book"
    sizes = {}
    for icon in manifest["icons"]:
        source = PROJECT / "build_tools/browser/icons" / Path(icon["src"]).name
        assert icon["src"] == f"half-turn/icons/{source.name}"
        if icon["type"] == "image/png":
            width, height = struct.unpack(">II", source.read_bytes()[16:24])
            assert icon["sizes"] == f"{width}x{height}"
            sizes[icon["sizes"], icon["purpose"]] = source.name
    assert set(sizes) == {("192x192", "any"), ("512x512", "any"), ("512x512", "maskable")}


def test_every_fault_and_notice_has_its_sentence(book: Path) -> None:
    """Each code that the service worker can give has a sentence in the register; none is left over."""
    words = read_words((PROJECT / "content/registers/words/en.yml").read_text(encoding="utf-8"))
    worker = WORKER.read_text(encoding="utf-8")
    faults = {*re.findall(r'new Fault\("([a-z-]+)"', worker), "unknown"}
    notices = set(re.findall(r'notice\(\w+, "([a-z-]+)"', worker))
    prefix = "page.offline.fault."
    assert {code.removeprefix(prefix) for code in words if code.startswith(prefix)} == faults
    said = {code for code in words if code.startswith("page.notice.")}
    wanted = {f"page.notice.{code}{part}" for code in notices for part in ("", ".title")}
    assert said == wanted | {"page.notice.home"}
    assert edition(book)["words"] == {code: words[code] for code in said}


def test_worker_is_served_as_it_is_in_the_repository(book: Path) -> None:
    """There is no build step for the browser code: the published worker is the source, byte for byte."""
    assert (book / "service-worker.js").read_bytes() == WORKER.read_bytes()
