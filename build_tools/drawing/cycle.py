"""The operating cycle, frame by frame: one leveler in each of its states."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from build_tools.drawing import leveler, surroundings
from build_tools.drawing.geometry import DECK, Geometry
from build_tools.drawing.pose import Pose
from build_tools.drawing.shapes import Arrow, Shape, arc, area, line, points_of, shifted
from build_tools.drawing.sheet import Drawing, Label
from build_tools.drawing.views import corners, moving, still
from calculators.shared.spring_geometry import Point, turned

_LIP_DROP = 2.0
"""On a truck bed the lip is this much flatter than the platform, degrees."""
_FOOT = 0.62
"""Where a person stands in the walk-down, as a share of the platform's length."""


def _frame(
    pose: Pose, *shapes: Shape, labels: tuple[Label, ...], ring: float = 0.0, behind: tuple[Shape, ...] = ()
) -> Drawing:
    drawn = (*still(pose.geometry), *behind, *moving(pose, ring), *shapes)
    low, high = corners(pose.geometry, max(y for _, y in points_of(drawn)) + 0.06)
    return Drawing(shapes=drawn, labels=labels, low=low, high=high)


def _stored(geometry: Geometry) -> Drawing:
    pose = Pose(geometry=geometry)
    return _frame(
        pose,
        labels=(
            Label(term="platform", at=(0.9, DECK / 2)),
            Label(term="lip", at=pose.on_lip(0.14, DECK * 0.6), via=_beside(geometry, -0.02)),
            _keepers(geometry),
        ),
    )


def _release(geometry: Geometry) -> Drawing:
    pose = Pose(geometry=geometry, platform=2)
    lift = 0.3
    pull = Arrow("motion", tuple(shifted(leveler.ring_at(pose, lift), (0.11, y)) for y in (-0.12, 0.14)))
    return _frame(
        pose,
        pull,
        ring=lift,
        labels=(
            Label(term="release-ring", at=leveler.ring_top(pose, lift)),
            Label(term="hold-down", at=(leveler.HOLD_DOWN_X + 0.038, -0.5), below=True),
        ),
    )


def _rise(geometry: Geometry) -> Drawing:
    angle = 0.55 * geometry.highest
    pose = Pose(geometry=geometry, platform=angle)
    reach = geometry.platform_length + 0.16
    return _frame(
        pose,
        leveler.motion(pose, reach, angle - 4, angle + 6),
        ring=0.3,
        labels=(
            Label(term="platform", at=pose.on_platform(0.9, DECK / 2)),
            Label(term="release-ring", at=leveler.ring_top(pose, 0.3)),
            Label(term="mainspring", at=(0.4, -0.41), below=True),
        ),
    )


def _lip_out(geometry: Geometry) -> Drawing:
    pose = Pose(geometry=geometry, platform=geometry.highest, lip=geometry.highest)
    swing = Arrow("motion", arc(pose.lip_hinge, geometry.lip_length, -74, geometry.highest - 6))
    hung = leveler.lip(Pose(geometry=geometry, platform=pose.platform), "ghost")
    return _frame(
        pose,
        *hung,
        swing,
        ring=0.3,
        labels=(
            Label(term="lip", at=pose.on_lip(0.25, DECK / 2)),
            Label(
                term="lip-assist-spring",
                at=pose.on_platform(geometry.platform_length - 0.45, -0.277),
                via=(geometry.platform_length - 0.2, -0.2),
                below=True,
            ),
        ),
    )


def _walk_down(geometry: Geometry) -> Drawing:
    angle = 0.7 * geometry.highest
    pose = Pose(geometry=geometry, platform=angle, lip=angle)
    foot = pose.on_platform(_FOOT * geometry.platform_length, DECK)
    reach = geometry.platform_length + geometry.lip_length + 0.1
    return _frame(
        pose,
        *legs(foot, angle),
        leveler.motion(pose, reach, angle + 4.5, angle - 4.5),
        labels=(
            Label(term="walk-down", at=shifted(foot, (0.14, 0.28))),
            Label(term="lip", at=pose.on_lip(0.25, DECK / 2), via=pose.on_lip(0.32, 0.16)),
        ),
    )


def _on_bed(
    geometry: Geometry, angle: float, *extra: Shape, gone: float = 0.0, labels: tuple[Label, ...] = ()
) -> Drawing:
    pose, bed = on_bed(geometry, angle)
    truck = tuple(surroundings.truck(geometry, bed, gone))
    held = Label(term="lip", at=pose.on_lip(0.2, DECK / 2))
    return _frame(pose, *extra, behind=truck, labels=(held, *labels))


def on_bed(geometry: Geometry, angle: float) -> tuple[Pose, float]:
    """Return the leveler with its lip on a truck bed, and the bed's height, m; `angle` is the platform's."""
    pose = Pose(geometry=geometry, platform=angle, lip=angle - _LIP_DROP)
    return pose, pose.lip_end[1]


def _on_truck_bed(geometry: Geometry) -> Drawing:
    return _on_bed(
        geometry, geometry.timing_angle, labels=(_bed(geometry, geometry.timing_angle), _bumpers(geometry))
    )


def _truck_leaves(geometry: Geometry) -> Drawing:
    angle = geometry.timing_angle
    _, bed = on_bed(geometry, angle)
    start = geometry.platform_length + 0.5
    away = Arrow("motion", ((start + 0.02, bed + 0.14), (start + 0.3, bed + 0.14)))
    return _on_bed(
        geometry,
        angle,
        away,
        gone=0.36,
        labels=(Label(term="hold-down", at=(leveler.HOLD_DOWN_X + 0.038, -0.5), below=True),),
    )


def _lip_folds(geometry: Geometry) -> Drawing:
    angle = geometry.timing_angle
    pose = Pose(geometry=geometry, platform=angle, lip=-42)
    ghost = leveler.lip(Pose(geometry=geometry, platform=angle, lip=angle - _LIP_DROP), "ghost")
    swing = Arrow("motion", arc(pose.lip_hinge, geometry.lip_length, -47, -84))
    return _frame(
        pose,
        *ghost,
        swing,
        labels=(
            Label(term="fold-time", at=pose.lip_end, via=shifted(pose.lip_end, (0.3, 0.16))),
            _keepers(geometry),
        ),
    )


def _below_dock(geometry: Geometry) -> Drawing:
    return _on_bed(
        geometry,
        geometry.lowest,
        labels=(_bed(geometry, geometry.lowest), Label(term="mainspring", at=(0.4, -0.41), below=True)),
    )


def legs(foot: Point, slope_deg: float) -> list[Shape]:
    """Return a pair of boots and shins, cut off at the knee, walking toward the lip on a slope."""
    shapes: list[Shape] = []

    for step in (-0.2, 0.06):
        heel = shifted(foot, turned((step, 0.004), slope_deg))
        outline = [
            (0.0, 0.0),
            (0.27, 0.0),
            (0.275, 0.03),
            (0.24, 0.065),
            (0.15, 0.1),
            (0.14, 0.2),
            (0.16, 0.4),
            (0.02, 0.4),
            (0.015, 0.2),
            (0, 0.08),
        ]
        shapes.append(area("person", *_on(heel, slope_deg, outline)))
        shapes.append(line("thin", *_on(heel, slope_deg, [(0.012, 0.13), (0.145, 0.13)])))
        sole = [(0.0, 0.0), (0.272, 0.0), (0.272, 0.02), (0.0, 0.02)]
        shapes.append(area("sole", *_on(heel, slope_deg, sole)))
    return shapes


def _on(heel: Point, slope_deg: float, points: Sequence[Point]) -> list[Point]:
    return [shifted(heel, turned(point, slope_deg)) for point in points]


def _beside(geometry: Geometry, y: float) -> Point:
    return geometry.platform_length + 0.24, y


def _keepers(geometry: Geometry) -> Label:
    at = (geometry.platform_length + 0.03, geometry.keeper_floor - 0.045)
    return Label(term="keepers", at=at, below=True)


def _bumpers(geometry: Geometry) -> Label:
    return Label(term="bumpers", at=(geometry.platform_length + 0.06, -0.57), below=True)


def _bed(geometry: Geometry, angle: float) -> Label:
    _, bed = on_bed(geometry, angle)
    return Label(term="truck-bed", at=(geometry.platform_length + 0.66, bed - 0.08))


STATES: dict[str, Callable[[Geometry], Drawing]] = {
    "stored": _stored,
    "release": _release,
    "rise": _rise,
    "lip-out": _lip_out,
    "walk-down": _walk_down,
    "on-truck-bed": _on_truck_bed,
    "truck-leaves": _truck_leaves,
    "lip-folds": _lip_folds,
    "below-dock": _below_dock,
}
"""The states of the cycle in their order, each with the function that draws it."""
