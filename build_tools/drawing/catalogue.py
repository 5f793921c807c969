"""The list of all drawings: their names, their states, and the function that draws each."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from build_tools.drawing import cycle, details, nut, views
from build_tools.drawing.geometry import PRACTICE, Geometry, geometry_of
from build_tools.drawing.sheet import Drawing
from build_tools.registers.rows import Equipment

DRAWINGS: dict[str, Callable[[Geometry], Drawing]] = {
    "side-view": views.side_view,
    "side-view-raised": views.side_view_raised,
    "on-the-support": views.on_the_support,
    "mainspring": details.mainspring,
    "adjusting-nut": nut.adjusting_nut,
    "lip-arc": details.lip_arc,
}
"""Drawings without a state, by name."""
STATEFUL: dict[str, Mapping[str, Callable[[Geometry], Drawing]]] = {"cycle-frame": cycle.STATES}
"""Drawings with states, by name and state."""
NAMES: tuple[str, ...] = (*DRAWINGS, *STATEFUL)
OPTIONS = ("state", "leveler")


@dataclass(frozen=True, slots=True)
class Request:
    """A drawing as an author asks for it. `leveler` is the id of a leveler class, "" for PRACTICE."""

    name: str
    state: str = ""
    leveler: str = ""

    @property
    def key(self) -> str:
        """The part after "drawing." in the codes of its sentences."""
        return f"{self.name}.{self.state}" if self.state else self.name

    @property
    def is_known(self) -> bool:
        """Whether there is such a drawing in such a state."""
        if self.name in STATEFUL:
            return self.state in STATEFUL[self.name]
        return self.name in DRAWINGS and not self.state


def drawing_of(request: Request, equipment: Mapping[str, Equipment]) -> Drawing:
    """Return the drawing that is asked for.

    Raises:
        KeyError: the name, the state or the leveler is unknown; checks find these first.
    """
    geometry = geometry_of(equipment[request.leveler].figures) if request.leveler else PRACTICE
    if request.name in STATEFUL:
        return STATEFUL[request.name][request.state](geometry)
    return DRAWINGS[request.name](geometry)
