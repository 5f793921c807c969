"""The search: what a technician says finds the page that answers it, among the first three."""

from __future__ import annotations

import pytest
from selenium import webdriver
from selenium.webdriver.support.ui import WebDriverWait

from build_tools.registers import Registers
from build_tools.search_words import spellings
from tests.browser.reading import pages_found, search_for

SAID = {
    "won't come up": "faults/will-not-rise-fully.html",
    "lip drops fast": "faults/lip-folds-too-quickly-or-slowly.html",
    "won’t stay down": "faults/will-not-stay-down.html",
    "hard to push down": "faults/hard-to-walk-down.html",
    "slams": "procedures/set-the-mainspring.html",
    "ring stuck": "faults/ring-will-not-release.html",
    "lip wont come out": "faults/lip-does-not-extend.html",
    "one side low": "faults/uneven-or-twisted.html",
    "Squeaks.": "faults/noisy.html",
    "misses the keepers": "faults/will-not-store-in-the-keepers.html",
    "spring broke": "repair/plan-a-spring-replacement.html",
    "how long should the lip take?": "procedures/time-the-lip-fold.html",
}
ASK_ALL = """
    const [phrases, done] = arguments;
    const config = JSON.parse(document.querySelector("#__config").textContent);
    const at = (path) => new URL(path, new URL(`${config.base}/`, location.href));
    const worker = new Worker(new URL(config.search, location.href));
    const ask = (data) => new Promise((resolve) => {
        worker.onmessage = (message) => resolve(message.data);
        worker.postMessage(data);
    });
    (async () => {
        const index = await (await fetch(at("search/search_index.json"))).json();
        await ask({type: 0, data: {...index, options: {suggest: false}}});
        const found = {};
        for (const phrase of phrases) {
            const {data} = await ask({type: 2, data: phrase});
            found[phrase] = data.items.slice(0, 3).map(([first]) => first.location.split("#")[0]);
        }
        return found;
    })().then(done, (fault) => done(String(fault)));
"""
"""Asks the theme's own search worker, which is what the search box asks."""


@pytest.fixture(scope="module")
def home(browser: webdriver.Chrome, address: str) -> webdriver.Chrome:
    """The file's browser on the home page, online."""
    browser.get(address)
    return browser


@pytest.mark.parametrize("words", SAID)
def test_words_typed_into_the_box(home: webdriver.Chrome, words: str) -> None:
    """Symptom words, typed as a thumb types them, show the right page among the first three."""
    search_for(home, words)

    WebDriverWait(home, 10).until(
        lambda _: SAID[words] in pages_found(home)[:3], f"{words}: {pages_found(home)[:3]}"
    )


def test_every_search_word_of_the_register(home: webdriver.Chrome, registers: Registers) -> None:
    """Whatever terms.yml lets people search for finds a page its row leads to among the first three."""
    leads: dict[str, set[str]] = {}
    for term in registers.terms.values():
        pages = {page.removesuffix(".md") + ".html" for page in term.leads_to}
        for phrase in term.search if pages else ():
            for spelling in spellings(phrase):
                leads.setdefault(spelling, set()).update(pages)
    assert len(leads) > 200

    found = home.execute_async_script(ASK_ALL, list(leads))

    assert {phrase: found[phrase] for phrase in leads if not leads[phrase] & set(found[phrase])} == {}
