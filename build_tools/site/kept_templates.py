"""The theme's templates as Jinja compiled them: compiling takes longer than using them."""

from __future__ import annotations

from jinja2 import Environment
from jinja2.bccache import Bucket, BytecodeCache

from build_tools.book.kept_results import KeptResults


class KeptTemplates(BytecodeCache):
    """Hands Jinja the templates it compiled before. `depends` is what else compiling may look at."""

    def __init__(self, kept: KeptResults, depends: tuple[str, ...]) -> None:
        self._kept = kept
        self._depends = depends

    def load_bytecode(self, bucket: Bucket) -> None:
        """Fill the bucket of a template that was compiled from the same source."""
        found = self._kept.find_bytes("template", self._all(bucket))
        if found is not None:
            bucket.bytecode_from_string(found)

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep what has been compiled."""
        self._kept.keep_bytes("template", self._all(bucket), bucket.bytecode_to_string())

    def _all(self, bucket: Bucket) -> tuple[str, ...]:
        return (*self._depends, bucket.key, bucket.checksum)


def keep_templates(environment: Environment, kept: KeptResults, settings: str) -> None:
    """Let an environment keep its templates; `settings` is what mkdocs.yml says.

    Jinja works out what is constant in a template while it compiles it, with the filters that are there.
    """
    if kept.folder is not None:
        names = ",".join([*sorted(environment.extensions), *sorted(environment.filters)])
        environment.bytecode_cache = KeptTemplates(kept, (settings, names))
