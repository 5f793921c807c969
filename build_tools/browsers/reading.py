"""What a test reads off a page of the book, and how it waits for it."""

from __future__ import annotations

from selenium.webdriver.chrome.webdriver import WebDriver
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

PATIENCE_S = 20


def open_page(browser: WebDriver, address: str, *, level: str = "complete") -> None:
    """Open a page and wait until the phone keeps `level`: none, reading or complete."""
    browser.get(address)
    wait_kept(browser, level)


def waiting(browser: WebDriver, seconds: float = PATIENCE_S) -> WebDriverWait[WebDriver]:
    """Return a wait that looks twenty times a second, and gives up after so many seconds."""
    return WebDriverWait(browser, seconds, poll_frequency=0.05)


def wait_kept(browser: WebDriver, level: str, *, seconds: float = PATIENCE_S) -> None:
    """Wait until the page says that `level` is kept."""
    waiting(browser, seconds).until(
        lambda _: kept_level(browser) == level, f"never {level!r}: {status(browser)}"
    )


def kept_level(browser: WebDriver) -> str:
    """data-offline of the open page."""
    return str(browser.execute_script("return document.documentElement.dataset.offline"))


def status(browser: WebDriver) -> str:
    """The sentences about what the phone keeps."""
    return _text(browser, "[data-status=offline]")


def offer(browser: WebDriver) -> str:
    """The sentence that offers a new edition, with its button's text; "" where none is offered."""
    return _text(browser, "[data-status=edition]")


def wait_status(browser: WebDriver, part: str) -> str:
    """Wait until the status holds `part`; gives the whole status."""
    waiting(browser).until(lambda _: part in status(browser), f"no {part!r}")
    return status(browser)


def wait_offer(browser: WebDriver) -> str:
    """Wait until a new edition is offered; gives the sentence."""
    waiting(browser).until(lambda _: offer(browser) != "", "no offer")
    return offer(browser)


def accept_offer(browser: WebDriver) -> None:
    """Press the button that opens the new edition."""
    browser.find_element(By.CSS_SELECTOR, "[data-status=edition] button").click()


def words_on(browser: WebDriver) -> str:
    """The paragraph of the small book that names its edition."""
    return _text(browser, "#words")


def heading(browser: WebDriver) -> str:
    """The page's first heading."""
    return _text(browser, "h1")


def stored_files(browser: WebDriver) -> dict[str, str]:
    """Every stored file of every book at this origin: key -> SHA-256 of the bytes under it."""
    return dict(
        browser.execute_async_script("""
        const done = arguments[0];
        (async () => {
            const found = {};
            for (const name of await caches.keys()) {
                if (!name.endsWith("files")) continue;
                const cache = await caches.open(name);
                for (const request of await cache.keys()) {
                    const bytes = await (await cache.match(request)).arrayBuffer();
                    const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
                    found[request.url] = [...sum].map((b) => b.toString(16).padStart(2, "0")).join("");
                }
            }
            return found;
        })().then(done, (error) => done({error: String(error)}));
        """)
    )


def forget_file(browser: WebDriver, sha256: str) -> None:
    """Throw one stored file away, as a phone short of room does."""
    gone = browser.execute_async_script(
        """
        const [sum, done] = arguments;
        caches.keys().then(async (names) => {
            let gone = 0;
            for (const name of names) {
                const cache = await caches.open(name);
                for (const request of await cache.keys()) {
                    if (request.url.endsWith(sum)) gone += await cache.delete(request);
                }
            }
            done(gone);
        });
        """,
        sha256,
    )
    assert gone == 1


def _text(browser: WebDriver, selector: str) -> str:
    return str(
        browser.execute_script(
            "return document.querySelector(arguments[0])?.textContent?.trim() ?? ''", selector
        )
    )


def search_for(browser: WebDriver, words: str) -> list[str]:
    """Type words into the book's search box, opened where it is not; give the addresses found so far.

    Only the last letter is typed as a key, so that the search is asked once.
    """
    box = browser.find_element(By.CSS_SELECTOR, "input.md-search__input")
    if not box.is_displayed():
        browser.find_element(By.CSS_SELECTOR, "[data-opens=__search]").click()
        waiting(browser).until(lambda _: box.is_displayed() and box.is_enabled())
    browser.execute_script("arguments[0].value = arguments[1]", box, words[:-1])
    box.send_keys(words[-1])
    return pages_found(browser)


def pages_found(browser: WebDriver) -> list[str]:
    """Return the pages that the search shows now, each once, by address on the site, the best first."""
    links = browser.execute_script(
        "return [...document.querySelectorAll('li.md-search-result__item > a')].map((link) => link.href)"
    )
    root = browser.execute_script(
        "return new URL(document.documentElement.dataset.root + '/', location.href).href"
    )
    return [link.removeprefix(root).partition("?")[0].partition("#")[0] for link in links]
