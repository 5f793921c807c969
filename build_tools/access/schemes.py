"""The three ways the book is coloured, put on as the theme does it."""

from __future__ import annotations

from selenium.webdriver.remote.webdriver import WebDriver

SCHEMES = {"light": "default", "dark": "slate", "sunlight": "sunlight"}


def put_on(browser: WebDriver, scheme: str) -> None:
    """Colour the open page as `scheme` without loading it again; what a person chose stays chosen."""
    browser.execute_script(
        "document.body.setAttribute('data-md-color-scheme', arguments[0])", SCHEMES[scheme]
    )
