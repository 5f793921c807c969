"""Parts of the leveler drawn larger: the arc of the lip with the keepers, and the mainspring."""

from __future__ import annotations

from build_tools.drawing import leveler, springs, surroundings
from build_tools.drawing.geometry import BEAM, DECK, Geometry
from build_tools.drawing.pose import Pose
from build_tools.drawing.shapes import Arrow, Shape, arc, area, break_line, line, moved, shifted
from build_tools.drawing.sheet import Drawing, Label
from calculators.shared.spring_geometry import turned

_APART = 0.7
"""How far below the first the second of two stacked drawings is, m."""
_DIMENSION = 0.12


def lip_arc(geometry: Geometry) -> Drawing:
    """Return a drawing of what the fold time is: the arc of the lip, and the platform's position."""
    held = geometry.timing_angle
    hangs, out = (Pose(geometry=geometry, platform=held, lip=lip) for lip in (-90, held))
    halfway = Pose(geometry=geometry, platform=held, lip=-40)
    hinge, radius = hangs.lip_hinge, geometry.lip_length
    left, low = geometry.platform_length - 0.68, -geometry.pit_depth + 0.06
    clear = geometry.platform_length + 0.135
    shapes: tuple[Shape, ...] = (
        *surroundings.dock(geometry),
        *leveler.lip_assist(hangs, large=True),
        *leveler.platform(hangs),
        *leveler.lip(out, "ghost"),
        *leveler.lip(halfway, "ghost"),
        Arrow("motion", arc(hinge, radius, held - 3, -83)),
        *leveler.lip(hangs),
        *leveler.hinges(hangs),
        *surroundings.keepers(geometry),
        line("thin", shifted(hangs.lip_end, (0.045, 0)), (clear + 0.04, hangs.lip_end[1])),
        line("thin", (clear - 0.035, geometry.keeper_top), (clear + 0.04, geometry.keeper_top)),
        break_line((left + 0.012, -0.16), (left + 0.012, 0.16), 0.03),
    )
    gap = (clear + 0.03, (hangs.lip_end[1] + geometry.keeper_top) / 2)
    labels = (
        Label(note="platform-held", at=hangs.on_platform(geometry.platform_length - 0.4, DECK / 2)),
        Label(term="lip-hinge", at=hinge),
        Label(note="lip-start", at=out.on_lip(radius - 0.06, DECK / 2)),
        Label(
            note="lip-stop",
            at=hangs.on_lip(radius - 0.1, 0),
            via=(geometry.platform_length - 0.19, -0.4),
            below=True,
        ),
        Label(term="keepers", at=(geometry.platform_length + 0.03, geometry.keeper_floor - 0.04), below=True),
        Label(note="lip-clear", at=gap, below=True),
        Label(
            term="fold-time",
            at=shifted(hinge, turned((radius, 0), -30)),
            via=shifted(hinge, (0.45, -0.32)),
            below=True,
        ),
    )
    return Drawing(
        shapes=shapes,
        labels=labels,
        low=(left, low),
        high=(geometry.platform_length + radius + 0.14, out.lip_end[1] + 0.1),
    )


def mainspring(geometry: Geometry) -> Drawing:
    """Return a drawing of one mainspring twice: long with the platform at rest, short with it up."""
    rest, up = Pose(geometry=geometry), Pose(geometry=geometry, platform=geometry.highest)
    under = (0.0, -_APART)
    x, y = geometry.frame_anchor
    dimension = springs.coils_at(up)[0], y - _APART - _DIMENSION
    lower = shifted(up.spring_ends[0], under), dimension
    rod_end = x - 0.1, y - _APART
    labels = (
        Label(term="hinge", at=(0, 0)),
        Label(term="mainspring", at=springs.coils_at(rest)),
        Label(term="adjusting-nut", at=shifted(springs.nut_at(rest), (-0.006, 0.04))),
        Label(term="jam-nut", at=shifted(springs.nut_at(rest), (0.042, 0.03))),
        Label(term="spring-anchor", at=lower[0], below=True),
        Label(note="spring-shorter", at=lower[1], below=True),
        Label(term="spring-rod", at=rod_end, below=True),
    )
    shapes = (*_spring_alone(rest), *moved(_spring_alone(up), under))
    low_y = y - _APART - 0.18
    return Drawing(shapes=shapes, labels=labels, low=(-0.1, low_y), high=(x + 0.2, 0.1))


def _spring_alone(pose: Pose) -> list[Shape]:
    """Return hinge, lever, spring and anchor, a stub of the platform, and the distance of the anchors."""
    on = pose.on_platform
    stub = [
        on(*point)
        for point in ((0.3, DECK), (-0.02, DECK), (-0.02, 0), (0.03, 0), (0.03, -BEAM), (0.3, -BEAM))
    ]
    start, end = pose.spring_ends
    level = pose.geometry.frame_anchor[1] - _DIMENSION
    return [
        *springs.mainspring(pose, large=True),
        *leveler.spring_lever(pose),
        area("cut", *stub),
        line("edge", *stub),
        break_line(on(0.3, -BEAM - 0.03), on(0.3, DECK + 0.03), 0.025),
        line("thin", on(0.03, 0), on(0.3, 0)),
        *list(leveler.hinges(pose))[:2],
        line("thin", (start[0], start[1] - 0.04), (start[0], level - 0.02)),
        line("thin", (end[0], level + 0.02), (end[0], level - 0.02)),
        Arrow("dimension", ((start[0], level), (end[0], level)), both=True),
    ]
