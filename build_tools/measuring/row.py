"""One line of the performance table: ours, stock, their ratio, the limit and whether it is met."""

from __future__ import annotations

from dataclasses import dataclass

COLUMNS = ("what", "ours", "stock", "ours / stock", "limit", "met")
HEAD = f"| {' | '.join(COLUMNS)} |\n| --- | ---: | ---: | ---: | ---: | --- |\n"


@dataclass(frozen=True, slots=True)
class Row:
    """A measured line. `most` is a limit of ours by itself, `ratio_most` of ours divided by stock."""

    what: str
    ours: float
    unit: str
    stock: float | None = None
    digits: int = 2
    most: float | None = None
    ratio_most: float | None = None

    @property
    def met(self) -> bool | None:
        """Whether the limit is kept; None where there is none."""
        if self.ratio_most is not None and self.stock is not None:
            return self.ours <= self.ratio_most * self.stock
        return None if self.most is None else self.ours <= self.most

    def text(self) -> str:
        """The line as Markdown."""
        ratio = "" if self.stock is None else f"{self.ours / self.stock:.2f}"
        limit = "" if self.ratio_most is None else f"{self.ratio_most:.2f}"
        limit = limit if self.most is None else self._value(self.most)
        stock = "" if self.stock is None else self._value(self.stock)
        met = {True: "yes", False: "**no**", None: ""}[self.met]
        return f"| {self.what} | {self._value(self.ours)} | {stock} | {ratio} | {limit} | {met} |"

    def _value(self, number: float) -> str:
        return f"{number:.{self.digits}f} {self.unit}"
