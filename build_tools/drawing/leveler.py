"""The moving parts from the side: platform, lip, lip-assist, hold-down with its ring."""

from __future__ import annotations

from collections.abc import Iterator

from build_tools.drawing.geometry import BEAM, DECK
from build_tools.drawing.pose import Pose, lip_lever
from build_tools.drawing.shapes import (
    Along,
    Arrow,
    Circle,
    Shape,
    arc,
    area,
    box,
    coil,
    line,
    shifted,
    thick_coil,
)
from calculators.shared.spring_geometry import Point

PIN = 0.026
"""Radius of a hinge's knuckle, m."""
HOLD_DOWN_X = 1.15
"""Distance from the hinge to the hold-down's bar on the platform, m."""
RING_X = 0.62
_CATCH_Y = -0.36
_BAR = 0.44


def platform(pose: Pose) -> Iterator[Shape]:
    """Yield the platform: plate, beam and the lever to the mainspring."""
    on, length = pose.on_platform, pose.geometry.platform_length
    yield from spring_lever(pose)
    beam = [(0.03, 0), (length - 0.03, 0), (length - 0.03, -0.035), (length - 0.14, -BEAM), (0.03, -BEAM)]
    yield area("part", *(on(*point) for point in beam))
    yield line("thin", on(0.045, -BEAM + 0.024), on(length - 0.13, -BEAM + 0.024))
    plate = [(-0.02, DECK), (length - 0.008, DECK), (length - 0.008, 0), (-0.02, 0)]
    yield area("part", *(on(*point) for point in plate))


def hinges(pose: Pose) -> Iterator[Shape]:
    """Yield the two hinges, to be drawn over everything that they hold."""
    for at in ((0.0, 0.0), pose.lip_hinge):
        yield Circle("part", at, PIN)
        yield Circle("solid", at, 0.009)


def spring_lever(pose: Pose) -> Iterator[Shape]:
    """Yield the arm under the hinge to which the mainspring is hooked."""
    arm = Along((0.0, 0.0), pose.spring_ends[0])
    yield area(
        "part",
        arm.at(0, -0.034),
        arm.at(arm.length, -0.024),
        *_round_end(arm, 0.024),
        arm.at(arm.length, 0.024),
        arm.at(0, 0.034),
    )


def _round_end(arm: Along, radius: float) -> tuple[Point, ...]:
    return tuple(arm.at(arm.length + x, y) for x, y in arc((0, 0), radius, -75, 75))


def lip(pose: Pose, kind: str = "part") -> Iterator[Shape]:
    """Yield the lip: a plate with a beveled end, and the lug that the link pushes."""
    length, on = pose.geometry.lip_length, pose.on_lip
    plate = [(0, 0), (length, 0), (length, 0.014), (length - 0.05, DECK), (0, DECK)]
    yield area(kind, *(on(*point) for point in plate))


def lip_assist(pose: Pose, *, large: bool = False) -> Iterator[Shape]:
    """Yield the lip-assist spring, its lever, and the link to the lip's lug."""
    lever = lip_lever(pose)
    on = {
        name: pose.on_platform(*getattr(lever, name)) for name in ("bracket", "bottom", "pivot", "top", "lug")
    }
    yield area(
        "part",
        *(
            pose.on_platform(lever.bracket[0] + x, y)
            for x, y in (
                (-0.03, -BEAM),
                (0.03, -BEAM),
                (0.012, lever.bracket[1] - 0.02),
                (-0.012, lever.bracket[1] - 0.02),
            )
        ),
    )
    yield area(
        "part",
        *(
            pose.on_platform(lever.pivot[0] + x, y)
            for x, y in (
                (-0.045, -BEAM),
                (0.045, -BEAM),
                (0.018, lever.pivot[1] - 0.02),
                (-0.018, lever.pivot[1] - 0.02),
            )
        ),
    )
    spring = Along(on["bracket"], on["bottom"])
    yield line("rod", spring.at(0), spring.at(0.05))
    if large:
        yield from thick_coil(spring, 0.05, spring.length - 0.04, 0.026, 9)
    else:
        yield from coil(spring, 0.05, spring.length - 0.04, 0.026, 6)
    yield line("rod", spring.at(spring.length - 0.04), spring.at(spring.length))
    yield area("part", pose.lip_hinge, *_lug_sides(pose, on["lug"]))
    yield line("rod", on["top"], on["lug"])
    yield Along(on["bottom"], on["top"]).box("part", (-0.01, -0.014), (0.21, 0.014))
    for name in ("pivot", "top", "bottom", "lug"):
        yield Circle("solid", on[name], 0.013)


def _lug_sides(pose: Pose, lug: Point) -> list[Point]:
    arm = Along(pose.lip_hinge, lug)
    return [
        arm.at(0, -0.024),
        arm.at(arm.length, -0.018),
        arm.at(arm.length + 0.012, 0),
        arm.at(arm.length, 0.018),
        arm.at(0, 0.024),
    ]


def hold_down(pose: Pose) -> Iterator[Shape]:
    """Yield the hold-down: a bar that hangs from the platform and passes a catch on the pit's floor."""
    floor = -pose.geometry.pit_depth
    catch = (HOLD_DOWN_X, _CATCH_Y)
    pivot = pose.on_platform(HOLD_DOWN_X, -BEAM + 0.02)
    bar = Along(pivot, catch)
    for side in (-1, 1):
        yield box("part", (catch[0] + side * 0.052, floor), (catch[0] + side * 0.024, catch[1] + 0.045))
    yield bar.box("part", (-0.012, -0.014), (_BAR, 0.014))
    for notch in range(7):
        x = 0.14 + 0.04 * notch
        yield line("thin", bar.at(x, -0.014), bar.at(x + 0.018, 0.004))
    yield Circle("solid", pivot, 0.013)


def release_ring(pose: Pose, lift: float = 0.0) -> Iterator[Shape]:
    """Yield the release ring and its chain: through the platform, under it, down to the catch."""
    eye = pose.on_platform(RING_X, DECK)
    under = pose.on_platform(RING_X, -BEAM - 0.02)
    turn = pose.on_platform(HOLD_DOWN_X - 0.07, -BEAM - 0.03)
    yield line("chain", under, turn, (HOLD_DOWN_X - 0.052, _CATCH_Y))
    if lift:
        yield line("chain", eye, shifted(eye, (0, lift)))
    yield Circle("ring", ring_at(pose, lift), 0.042)


def ring_top(pose: Pose, lift: float = 0.0) -> Point:
    """Return the top of the ring, for its label."""
    return shifted(ring_at(pose, lift), (0, 0.042))


def ring_at(pose: Pose, lift: float = 0.0) -> Point:
    """Return the middle of the ring, upright on the platform or pulled up by `lift`, m."""
    return shifted(pose.on_platform(RING_X, DECK), (0, lift + 0.05))


def motion(pose: Pose, radius: float, start_deg: float, end_deg: float) -> Arrow:
    """Return the arrow of the platform's rotation about its hinge, at a radius in m."""
    return Arrow("motion", arc((0, 0), radius, start_deg, end_deg))
