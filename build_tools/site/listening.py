"""Hears what MkDocs and its plugins log while it works."""

from __future__ import annotations

import logging

CHECKS_LOG = "mkdocs.plugins.half-turn"


class Listener(logging.Handler):
    """Collects the warnings and errors that MkDocs and its plugins log, and how the checks' own end."""

    def __init__(self) -> None:
        super().__init__(logging.INFO)
        self.said: list[str] = []
        self.closing = ""

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one message."""
        if record.levelno >= logging.WARNING:
            self.said.append(record.getMessage())
        elif record.name == CHECKS_LOG:
            self.closing = record.getMessage().splitlines()[-1]
