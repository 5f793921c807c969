"""One thing that keeps somebody from using a page, and how a list of them is told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """`where` is a page with its state and colours, `element` a selector, `why` what was measured."""

    rule: str
    where: str
    element: str
    why: str

    def __str__(self) -> str:
        return f"{self.where}: {self.rule}: {self.element}: {self.why}"


def tally(findings: Iterable[Finding]) -> Counter[str]:
    """Count the findings by rule."""
    return Counter(finding.rule for finding in findings)
