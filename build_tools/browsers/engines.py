"""Start a browser of phone size in each engine, for the tests and the measurements alike."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from selenium import webdriver
from selenium.webdriver.remote.client_config import ClientConfig
from selenium.webdriver.remote.remote_connection import RemoteConnection

from build_tools.browsers.needed import BROWSERS, CHROMIUM_DRIVER, DISPLAY, WEBKIT_DRIVER

PHONE = {"width": 390, "height": 844, "deviceScaleFactor": 1, "mobile": True}
CHROMIUM_FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--window-size=390,844",
)
SCREEN = "1400x1100x24"
LOAD_S = 60
SCRIPT_S = 90


def open_chromium(profile: Path, *flags: str) -> webdriver.Chrome:
    """Start a Chromium of 390 by 844 whose storage lives in the folder `profile`; the caller quits it."""
    options = webdriver.ChromeOptions()
    options.binary_location = next(filter(None, map(shutil.which, BROWSERS)), "chromium")
    for flag in (*CHROMIUM_FLAGS, *flags, f"--user-data-dir={profile}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    service = webdriver.ChromeService(shutil.which(CHROMIUM_DRIVER))
    browser = webdriver.Chrome(options=options, service=service)
    browser.set_page_load_timeout(LOAD_S)
    browser.set_script_timeout(SCRIPT_S)
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", PHONE)
    return browser


@contextmanager
def webkit(width: int = 390, height: int = 844) -> Iterator[webdriver.Remote]:
    """Open WebKitGTK's own small browser on a screen of its own for the time of the block.

    Its window is never narrower than 447 px, and what it keeps is forgotten when it closes.
    """
    with screen() as display:
        # No sandbox: as root in a container it cannot make one, and it opens nothing but our own pages.
        surroundings = {**os.environ, "DISPLAY": display, "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1"}
        surroundings.pop("WAYLAND_DISPLAY", None)
        service = webdriver.WebKitGTKService(shutil.which(WEBKIT_DRIVER), env=surroundings)
        service.start()
        try:
            browser = _attached(service.service_url)
            browser.set_window_size(width, height)
            yield browser
            browser.quit()
        finally:
            service.stop()


def _attached(address: str) -> webdriver.Remote:
    """Attach to a driver; Selenium's own class for WebKitGTK does so in a way that Selenium warns of."""
    connection = RemoteConnection(client_config=ClientConfig(remote_server_addr=address))
    browser = webdriver.Remote(command_executor=connection, options=webdriver.WebKitGTKOptions())
    browser.set_page_load_timeout(LOAD_S)
    browser.set_script_timeout(SCRIPT_S)
    return browser


@contextmanager
def screen() -> Iterator[str]:
    """Run an X server that shows nothing, and give the name of its display."""
    reading, writing = os.pipe()
    command = [DISPLAY, "-displayfd", str(writing), "-screen", "0", SCREEN, "-nolisten", "tcp"]
    server = subprocess.Popen(
        command, pass_fds=[writing], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    os.close(writing)
    try:
        with os.fdopen(reading, encoding="ascii") as told:
            yield f":{told.readline().strip()}"
    finally:
        server.terminate()
        server.wait()
