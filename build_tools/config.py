"""The plugin's options in mkdocs.yml."""

from __future__ import annotations

from mkdocs.config import config_options
from mkdocs.config.base import Config


class HalfTurnConfig(Config):  # type: ignore[no-untyped-call]  # mkdocs does not type its metaclass
    """The options under `half-turn:`."""

    language = config_options.Type(str, default="en")
    """Which file of registers/words the book takes its sentences from."""
