"""The MkDocs plugin: wires the book's checks, Markdown and browser files into a build. Thin on purpose."""

from __future__ import annotations

import datetime
import json
import logging
import os
import re
from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, Literal

from jinja2 import Environment
from markdown import Markdown
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, CombinedEvent, event_priority
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page as SitePage
from mkdocs.structure.toc import get_toc

from build_tools.blocks.block import PageContext
from build_tools.blocks.blocks import EXTENSIONS, BookExtension
from build_tools.blocks.rendering import PageRenderer, Rendered, render_page, render_pages
from build_tools.book.book import REGISTER_PAGE, REGISTERS, Book, read_book
from build_tools.book.fault_words import page_of_path
from build_tools.book.kept_results import kept_results
from build_tools.checks.all_checks import find_problems
from build_tools.edition import browser_bundle, edition, policy
from build_tools.edition.packing import Packing
from build_tools.edition.web_manifest import write_web_manifest
from build_tools.made_pages.editions import EditionHistory, read_editions
from build_tools.made_pages.made_pages import all_titles, made_pages
from build_tools.made_pages.outside_values import CheckRefused
from build_tools.places import THEME
from build_tools.reading.pages import Page, page_from
from build_tools.reading.problems import has_errors, render
from build_tools.shown.fault_table import Places
from build_tools.shown.marks import Marks, plain_text
from build_tools.site.building import CHECKS_SAY
from build_tools.site.kept_search import PageForSearch
from build_tools.site.kept_templates import keep_templates
from build_tools.site.listening import CHECKS_LOG
from build_tools.site.menu import Menu
from build_tools.site.page_frame import Office, framed
from build_tools.site.paper_foot import foot_attributes
from build_tools.site.pieces import (
    FIGURES_ADDRESS,
    PieceRefused,
    piece_of,
    place_of_calculator,
    place_of_drawing,
)
from build_tools.site.search_words import write_said
from build_tools.site.set_aside import SetAside
from build_tools.site.status_line import old_after_days, with_first_words
from build_tools.visits.jobs import Visits, visits_of
from build_tools.visits.plan import PLAN, plan_bytes, visit_plan

_LOG = logging.getLogger(CHECKS_LOG)


class NoOptions(Config):  # type: ignore[no-untyped-call]  # MkDocs does not type it
    """The plugin has no options: what a book is made of stands in its content folder."""


class HalfTurnPlugin(BasePlugin[NoOptions]):  # type: ignore[no-untyped-call]  # MkDocs does not type it
    """Builds the handbook, or stops with every mistake of its authors before anything is written."""

    preview = False
    book: Book
    editions: EditionHistory
    extension: BookExtension
    pages: dict[str, Page]
    visits: Visits | None
    renderer: PageRenderer
    rendered: Mapping[str, Rendered]
    """What Markdown made of the pages, of the authors' while they were checked."""
    set_aside: SetAside
    searched: PageForSearch
    places: Places
    """Where every page and every fault path is, whichever page is in hand."""
    packing: Packing
    inline: set[policy.Inline]
    """What every page together holds inline, for the headers."""

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Note a plain preview: `mkdocs serve` gives pages without the service worker."""
        self.preview = command == "serve"

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read and check the book before the site folder is touched."""
        bring_settings(config)
        self._prepare_markdown(config)
        project = Path(config.config_file_path).parent
        self.book, problems = read_book(project, kept_results(project))
        problems = sorted({*problems, *find_problems(self.book, render=partial(self._render, config=config))})
        if has_errors(problems):
            self.book.kept.save("stopped")
            raise PluginError(f"{CHECKS_SAY}\n\n{render(problems)}")
        if problems:
            _LOG.info("%s", render(problems))
        self.pages = dict(self.book.pages)
        self.visits = visits_of(self.book)
        self.packing = Packing(self.book.kept)
        self.inline = set()
        self.date = edition_date(self.book)
        self.editions = read_editions(self.book, date=self.date)
        config.extra["edition_date"] = self.date
        # A page for "not found" cannot know how deep the wrong address was, and our addresses are relative.
        config.theme.static_templates.discard("404.html")
        return config

    def _prepare_markdown(self, config: MkDocsConfig) -> None:
        self.extension = BookExtension()
        config.markdown_extensions += [name for name in EXTENSIONS if name not in config.markdown_extensions]
        config.markdown_extensions.append(self.extension)
        # Columns are aligned without a style attribute, which the pages' policy would not let in.
        tables = (config.mdx_configs or {}).get("tables", {})
        config.mdx_configs = {**(config.mdx_configs or {}), "tables": {"use_align_attribute": True, **tables}}

    def _render(self, book: Book, config: MkDocsConfig) -> Mapping[str, Rendered]:
        """Run the authors' pages through Markdown as MkDocs would, for the checks and for the site."""
        self.set_aside = SetAside(partial(piece_of, self.book))
        self.places = Places("", all_titles(book), page_of_path(book.pages.values()))
        markdown = Markdown(extensions=config.markdown_extensions, extension_configs=config.mdx_configs or {})
        self.renderer = PageRenderer(markdown, self.extension, self._in_hand, self._all_but_the_page(config))
        self.rendered = render_pages(book, self.renderer)
        return self.rendered

    def _all_but_the_page(self, config: MkDocsConfig) -> tuple[str, ...] | None:
        """Return what else Markdown's work depends on; an extension that is not ours may read anything."""
        if {*config.markdown_extensions} - {*EXTENSIONS, self.extension}:
            return None
        places = self.places.titles, self.places.page_of_path
        return "site", json.dumps([config.mdx_configs, *places], sort_keys=True, default=repr)

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Let the templates be kept as they are compiled, and an entry of the menu be written once."""
        env.globals["menu_entry"] = Menu().entry
        keep_templates(env, self.book.kept, Path(config.config_file_path).read_text(encoding="utf-8"))
        return env

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Leave the registers out, add the page made from them and what the browser needs."""
        for file in list(files):
            if file.src_uri.startswith(f"{REGISTERS}/"):
                files.remove(file)
        try:
            made = made_pages(self.book, self.editions, self.date)
        except CheckRefused as slip:
            raise PluginError(str(slip)) from None
        for src, text in made.items():
            self.pages[src], _ = page_from(text, src, src)
            self.rendered = {**self.rendered, src: render_page(self.book, self.pages[src], self.renderer)}
            files.append(File.generated(config, src, content=text))
        served = browser_bundle.browser_files(self.book.registers)
        served |= self._visit_plan()
        for uri, content in {**served, **self.editions.files()}.items():
            files.append(_browser_file(config, uri, content))
            if isinstance(content, bytes):
                self.packing.begin(content)
        return files

    def _visit_plan(self) -> dict[str, bytes | Path]:
        """Return the plan of the visits, nothing for a book without them."""
        if self.visits is None:
            return {}
        return {PLAN: plan_bytes(visit_plan(self.book, self.visits, self.rendered))}

    def on_page_markdown(self, markdown: str, *, page: SitePage, config: MkDocsConfig, files: Files) -> str:
        """Leave MkDocs's Markdown nothing to do: every page has been through ours."""
        page.meta = self._meta(self.pages[page.file.src_uri])
        page.update_date = self.date
        return ""

    def on_page_content(self, html: str, *, page: SitePage, config: MkDocsConfig, files: Files) -> str:
        """Set the page in its frame, as search is to read it."""
        ours = self.pages[page.file.src_uri]
        page.toc = get_toc(list(self.rendered[ours.src].contents))
        marks = self._marks(ours, FIGURES_ADDRESS)
        try:
            told = self.set_aside.told(self.rendered[ours.src].html)
        except PieceRefused as slip:
            raise PluginError(f"{ours.file}: {slip}") from None
        sequence = self.visits.offered(ours.src) if self.visits is not None else ""
        return framed(told, ours, marks, office=office_of(config), sequence=sequence)

    @event_priority(100)
    def _before_search(self, context: Any, *, page: SitePage, config: MkDocsConfig, nav: Any) -> None:
        """Let search read what it needs of the page."""
        contents = self.rendered[page.file.src_uri].contents
        self.searched = PageForSearch(page, contents, config, self.book.kept)
        self.searched.show()

    @event_priority(-100)
    def _after_search(self, context: Any, *, page: SitePage, config: MkDocsConfig, nav: Any) -> None:
        """Return the whole page, with its calculators and drawings."""
        page.content = self.set_aside.whole(self.searched.put_back())

    on_page_context = CombinedEvent(_before_search, _after_search)

    def on_post_page(self, output: str, *, page: SitePage, config: MkDocsConfig) -> str:
        """Add the page's policy, and say in the page where the root is and that nothing runs yet."""
        if not self.preview:  # a preview reloads by a script of MkDocs's own
            inline = policy.inline_parts(output)
            self.inline |= inline
            output = policy.with_policy(output, inline)
        preview = " data-preview" if self.preview else ""
        root = self.pages[page.file.src_uri].root
        days = old_after_days(self.book.registers)
        old_after = f' data-old-after-days="{days}"' if days is not None else ""
        visits = " data-visits" if "data-visit=" in output else ""
        asks = " data-asks" if visits or "data-calculator=" in output else ""
        attributes = (
            f'data-runtime="absent" data-offline="none" data-root="{root}"{asks}{visits}{old_after}{preview}'
        )
        marks = Marks(self.book.registers, FIGURES_ADDRESS)
        attributes += str(foot_attributes(str(page.title or ""), config.extra, marks))
        output = with_first_words(output, self.book.registers.words)
        output = re.sub(r"<html\b", lambda _: f"<html {attributes}", output, count=1)
        if not self.preview:
            self.packing.begin(output.encode())
        return output

    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Let search know what technicians say, and the edition be written over the finished site."""
        site = Path(config.site_dir)
        write_said(site, self.book)
        write_web_manifest(
            site,
            name=config.site_name,
            short_name=config.extra.get("short_name", config.site_name),
            description=config.site_description or "",
            language=config.theme["language"],
        )
        headers = policy.headers(self.inline)
        if not self.preview:
            policy.write_header_files(site, headers)
        edition.write_edition(
            site,
            date=self.date,
            preview=self.preview,
            withdrawn=self.editions.for_edition(),
            headers=headers,
            packing=self.packing,
        )
        self.book.kept.save("build")

    def _in_hand(self, page: Page) -> PageContext:
        return PageContext(
            self._marks(page, REGISTER_PAGE),
            partial(place_of_calculator, page.root, page.kind),
            partial(place_of_drawing, page.root),
            replace(self.places, src=page.src),
        )

    def _marks(self, page: Page, figures_page: str) -> Marks:
        return Marks(self.book.registers, figures_page if page.root == "." else f"{page.root}/{figures_page}")

    def _meta(self, page: Page) -> dict[str, Any]:
        figures = self.book.registers.figures
        texts = {key: plain_text(page.text(key), figures) for key in ("title", "summary")}
        return {**page.meta(), **texts, "description": texts["summary"]}


def bring_settings(config: MkDocsConfig) -> None:
    """Set what no company's mkdocs.yml has to say: the theme's folder, no fonts from elsewhere, addresses."""
    if str(THEME) not in config.theme.dirs:
        config.theme.dirs.insert(0, str(THEME))
    config.theme["font"] = False
    config.use_directory_urls = False


def office_of(config: MkDocsConfig) -> Office | None:
    """Return whom `extra:` of mkdocs.yml says to call, None where it names no number."""
    phone = config.extra.get("office_phone")
    return Office(config.extra.get("office", ""), str(phone)) if phone else None


def edition_date(book: Book) -> str:
    """Return the edition's date: SOURCE_DATE_EPOCH where it is set, else the newest `revised` of the book."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch:
        return datetime.datetime.fromtimestamp(int(epoch), tz=datetime.UTC).date().isoformat()
    return book.edition_date()


def _browser_file(config: MkDocsConfig, uri: str, content: bytes | Path) -> File:
    if isinstance(content, Path):
        return File.generated(config, uri, abs_src_path=str(content))
    return File.generated(config, uri, content=content)
