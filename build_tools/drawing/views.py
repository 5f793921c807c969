"""The whole leveler from the side: at rest, up with its lip out, up on the maker's support."""

from __future__ import annotations

from build_tools.drawing import leveler, springs, surroundings
from build_tools.drawing.geometry import BEAM, DECK, Geometry
from build_tools.drawing.pose import HANGING, Pose, lip_lever
from build_tools.drawing.shapes import Circle, Shape, area, line
from build_tools.drawing.sheet import Drawing, Label
from build_tools.drawing.surroundings import BELOW, FACE, LEFT, RIGHT
from calculators.shared.spring_geometry import Point

SUPPORT_X = 1.45
"""Distance from the hinge to the maker's support under the platform, m."""


def still(geometry: Geometry) -> list[Shape]:
    """Return what is behind everything that moves."""
    return [*surroundings.bumper(geometry), *surroundings.dock(geometry)]


def moving(pose: Pose, ring_lift: float = 0.0) -> list[Shape]:
    """Return the leveler itself, with the keepers in front of its lip's end."""
    return [
        *springs.mainspring(pose),
        *leveler.release_ring(pose, ring_lift),
        *leveler.hold_down(pose),
        *leveler.lip_assist(pose),
        *leveler.platform(pose),
        *leveler.lip(pose),
        *leveler.hinges(pose),
        *surroundings.keepers(pose.geometry),
    ]


def corners(geometry: Geometry, top: float) -> tuple[Point, Point]:
    """Return the corners of what is shown, up to a height `top`, m."""
    return (LEFT, -geometry.pit_depth - BELOW), (geometry.platform_length + RIGHT, top)


def side_view(geometry: Geometry) -> Drawing:
    """Return a drawing of the leveler at rest: platform level, lip hanging in the keepers."""
    pose = Pose(geometry=geometry)
    low, high = corners(geometry, 0.2)
    bounds = low, (high[0] - 0.42, high[1])
    length, floor = geometry.platform_length, -geometry.pit_depth
    face = length + FACE
    labels = (
        Label(term="hinge", at=(0, 0)),
        Label(term="platform", at=(0.36, DECK / 2)),
        Label(term="release-ring", at=leveler.ring_top(pose)),
        Label(term="lip-hinge", at=pose.lip_hinge),
        Label(term="lip", at=pose.on_lip(0.14, DECK * 0.6), via=(length + 0.24, -0.02)),
        Label(term="pit", at=(0.03, floor + 0.1), below=True),
        Label(term="mainspring", at=springs.coils_at(pose, 0.45), below=True),
        Label(term="adjusting-nut", at=springs.nut_at(pose), below=True),
        Label(term="lip-assist-spring", at=_assist_at(pose), below=True),
        Label(term="keepers", at=(length + 0.03, geometry.keeper_floor - 0.045), below=True),
        Label(term="bumpers", at=(face + 0.11, -0.56), via=(face + 0.41, -0.7), below=True),
    )
    shapes = (*still(geometry), *moving(pose))
    return Drawing(shapes=shapes, labels=labels, low=bounds[0], high=bounds[1])


def side_view_raised(geometry: Geometry) -> Drawing:
    """Return a drawing of the leveler fully up with its lip out."""
    pose = Pose(geometry=geometry, platform=geometry.highest, lip=geometry.highest)
    low, high = corners(geometry, pose.lip_end[1] + 0.12)
    length = geometry.platform_length
    labels = (
        Label(term="platform", at=pose.on_platform(0.9, DECK / 2)),
        Label(term="lip", at=pose.on_lip(0.3, DECK / 2)),
        Label(term="mainspring", at=springs.coils_at(pose, 0.6), below=True),
        Label(term="hold-down", at=(leveler.HOLD_DOWN_X + 0.038, -0.55), below=True),
        Label(term="toe-guard", at=pose.on_platform(1.45, -0.36), below=True),
        Label(term="keepers", at=(length + 0.03, geometry.keeper_floor - 0.045), below=True),
    )
    guard = toe_guard(pose)
    return Drawing(shapes=(*still(geometry), *moving(pose), guard), labels=labels, low=low, high=high)


def on_the_support(geometry: Geometry) -> Drawing:
    """Return a drawing of the leveler held up for work by the maker's support, its lip hanging."""
    pose = Pose(geometry=geometry, platform=geometry.highest, lip=HANGING)
    low, high = corners(geometry, pose.lip_hinge[1] + 0.15)
    foot = (SUPPORT_X, -geometry.pit_depth)
    head = pose.on_platform(SUPPORT_X, -BEAM)
    labels = (
        Label(term="platform", at=pose.on_platform(0.95, DECK / 2)),
        Label(term="lip", at=pose.on_lip(0.2, DECK * 0.6), via=(geometry.platform_length + 0.3, 0.3)),
        Label(term="support", at=(SUPPORT_X, foot[1] + 0.015), below=True),
        Label(term="mainspring", at=springs.coils_at(pose), below=True),
    )
    shapes = (*still(geometry), *moving(pose), *support(foot, head))
    return Drawing(shapes=shapes, labels=labels, low=low, high=(high[0] - 0.35, high[1]))


def support(foot: Point, head: Point) -> list[Shape]:
    """Return the maker's support: a post with a foot, a head under the beam and a pin, in solid ink."""
    (x, low), (_, top) = foot, head
    return [
        area("support", (x - 0.035, low), (x + 0.035, low), (x + 0.035, top), (x - 0.035, top)),
        area("support", (x - 0.1, low), (x + 0.1, low), (x + 0.1, low + 0.03), (x - 0.1, low + 0.03)),
        area(
            "part",
            (x - 0.07, top - 0.03),
            (x + 0.07, top - 0.02),
            (x + 0.07, top + 0.012),
            (x - 0.07, top - 0.016),
        ),
        Circle("part", (x, low + 0.45 * (top - low)), 0.016),
    ]


def toe_guard(pose: Pose) -> Shape:
    """Return the outline of the near toe guard, drawn as a line alone to show what it covers."""
    length = pose.geometry.platform_length
    corners_ = [(0.62, -BEAM), (length - 0.08, -BEAM), (length - 0.08, -0.36), (1.3, -0.36), (0.62, -BEAM)]
    return line("phantom", *(pose.on_platform(*point) for point in corners_))


def _assist_at(pose: Pose) -> Point:
    lever = lip_lever(pose)
    x = (lever.bracket[0] + lever.bottom[0]) / 2
    return pose.on_platform(x, (lever.bracket[1] + lever.bottom[1]) / 2)
