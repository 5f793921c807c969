"""What tests of several kinds need: the project's folder, and the real book, built once."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from build_tools.places import PROJECT
from build_tools.registers.registers import Registers, load_registers
from build_tools.site.building import Built, build_book

QUICK = ("calculators", "outside")
"""Folders of many tests that are soon done."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the quick folders last, so that neither of two processes ends alone on a long file."""
    items.sort(key=lambda item: item.path.relative_to(PROJECT / "tests").parts[0] in QUICK)


@pytest.fixture(scope="session")
def project() -> Path:
    """The folder of the project itself."""
    return PROJECT


@pytest.fixture(scope="session")
def built(project: Path, tmp_path_factory: pytest.TempPathFactory) -> Built:
    """The real book, built strictly, once, by the code of `build_tools build`. Nobody writes into it."""
    return build_book(project, tmp_path_factory.mktemp("book") / "site")


@pytest.fixture(scope="session")
def site(built: Built) -> Path:
    """The folder of the real book as it is deployed."""
    return built.folder


@pytest.fixture(scope="session")
def pages(site: Path) -> dict[str, BeautifulSoup]:
    """Every page of the real book, by its address from the root. Nobody changes them."""
    return {
        path.relative_to(site).as_posix(): BeautifulSoup(path.read_text(encoding="utf-8"), "html.parser")
        for path in sorted(site.rglob("*.html"))
    }


@pytest.fixture(scope="session")
def registers(project: Path) -> Registers:
    """The real book's registers, all of them without a mistake."""
    found, problems = load_registers(project / "content" / "registers")
    assert problems == []
    return found
