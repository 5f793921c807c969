"""A Firefox that can be killed and opened again on the profile that it left."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from websocket import WebSocketException

from build_tools.browsers.firefox import Firefox, firefox
from build_tools.browsers.host import Host
from build_tools.browsers.trial import kill_all


class FirefoxPhone:
    """A browser whose storage lives in a folder, and which can be killed and opened again."""

    browser: Firefox

    def __init__(self, profile: Path, host: Host) -> None:
        self.host = host
        self._profile = profile
        self._open()

    def kill(self) -> None:
        """Kill every process of it at once."""
        kill_all(self.browser.process, itself=True)

    def restart(self) -> None:
        """Open it anew, whatever state it is in."""
        self.close()
        self._open()

    def close(self) -> None:
        """Let go of the browser, which may be gone."""
        with suppress(WebSocketException, OSError):
            self._opened.close()

    def _open(self) -> None:
        self._opened = ExitStack()
        self.browser = self._opened.enter_context(firefox(self._profile))


@contextmanager
def firefox_phone(profile: Path, site: Path) -> Iterator[FirefoxPhone]:
    """A Firefox phone for the time of the block."""
    host = Host(site).start()
    phone = FirefoxPhone(profile, host)
    try:
        yield phone
    finally:
        phone.close()
        host.stop()
