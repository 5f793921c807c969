"""The rules of mainspring-plan: from observed cycles to one decision about the next half turn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from calculators.shared.half_turns import Decision, sentence

STOPS = (
    "not-a-setting-fault",
    "lip-side",
    "not-one-way",
    "not-repeatable",
    "no-adjustment-left",
    "half-turn-too-coarse",
)
TOO_LOW, GOOD, TOO_HIGH = -1, 0, 1
ENOUGH_CYCLES = 6
"""Cycles at one setting after which disagreement is a fault, not a slip of the eye."""
OF_THREE, TWICE = 3, 2
"""One odd cycle happens: what stops the work has to be seen in two of the latest three at a setting."""
BEFORE_AN_END = 3
"""Cycles at a setting that have to say so before the work ends there: two slips of the eye can be alike."""
SAME_AFTER = 3
"""Half turns from as found that change no cycle, after which somebody looks whether it moves at all."""
UNCHANGED_AFTER = 2
"""Half turns that leave the lip as it was, after which the lip's own parts are looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cycle:
    """One observed operating cycle. Settings are half turns from as found, on every spring alike."""

    half_turns: int
    rise: str
    lip_extended: bool
    walk_down: str
    too_hard: bool
    """True where nobody could walk it down, or the effort was above the limit."""

    @property
    def lip_held_back(self) -> bool:
        """True where the platform rose fully and the lip did not come out."""
        return self.rise != "short" and not self.lip_extended

    @property
    def binds(self) -> bool:
        """True where it rose short and yet could not be walked down: no setting does both."""
        return self.rise == "short" and self.too_hard

    @property
    def lip_fault(self) -> str:
        """Name why more mainspring will not bring the lip out; empty where it still may."""
        if not self.lip_held_back:
            return ""
        if self.rise == "full-slams":
            return "lip-in-at-slam"
        return "lip-in-at-firm" if self.too_hard or self.walk_down != "easy" else ""

    @property
    def level(self) -> int:
        """What the cycle says of the mainspring: TOO_LOW, GOOD or TOO_HIGH."""
        if self.rise == "short" or not self.lip_extended:
            return TOO_LOW
        return TOO_HIGH if self.rise == "full-slams" or self.too_hard else GOOD


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """All that the rules look at."""

    cycles: Sequence[Cycle]
    half_turns_min: int | None
    half_turns_max: int | None
    spring_count: int

    @property
    def latest(self) -> Cycle:
        """The last cycle; every spring stands at its setting."""
        return self.cycles[-1]

    @property
    def here(self) -> Sequence[Cycle]:
        """The cycles at the present setting, in order."""
        return self.at(self.latest.half_turns)

    def at(self, setting: int) -> Sequence[Cycle]:
        """Return the cycles at a setting, in order."""
        return [each for each in self.cycles if each.half_turns == setting]

    def is_sure(self, level: int) -> bool:
        """True where enough cycles at the present setting say so for the work to end on it."""
        return sum(each.level == level for each in self.here) >= BEFORE_AN_END

    def agreed(self, setting: int) -> int | None:
        """Return what more than half of the cycles at a setting say, two at least; None where none does."""
        return agreed_level([each.level for each in self.at(setting)])

    @property
    def levels(self) -> Mapping[int, int]:
        """What each setting says: most of its cycles, or the latest where no answer has most."""
        return levels_of(self.cycles)

    @property
    def measured(self) -> bool:
        """True where the adjustment left is known both ways."""
        return self.half_turns_min is not None and self.half_turns_max is not None


def agreed_level(levels: Sequence[int]) -> int | None:
    """Return what more than half of the cycles at one setting say, two at least; None where none does."""
    found = next((level for level in levels if 2 * levels.count(level) > len(levels)), None)
    return found if found is not None and levels.count(found) >= TWICE else None


def levels_of(cycles: Sequence[Cycle]) -> dict[int, int]:
    """Return what each setting says: most of its cycles, or the latest where no answer has most."""
    told: dict[int, list[int]] = {}
    for each in cycles:
        told.setdefault(each.half_turns, []).append(each.level)
    agreed = {setting: agreed_level(levels) for setting, levels in told.items()}
    return {
        setting: levels[-1] if agreed[setting] is None else int(agreed[setting] or 0)
        for setting, levels in told.items()
    }


def decide(watch: Watch) -> Decision:
    """Return the decision: faults first, then what most cycles here say: two for a turn, three for an end."""
    stop = _stop_on_fault(watch) or _stop_on_lip(watch) or _stop_on_order(watch)
    if stop:
        return stop
    agreed = watch.agreed(watch.latest.half_turns)
    if agreed is None or _is_odd(watch):
        return _look_again(watch)
    ends = _leave(watch) if agreed == GOOD else _stop_on_the_way(watch, -agreed)
    if ends and not watch.is_sure(agreed):
        return _cycle_again(watch, "before-an-end")
    return ends or _turn(watch, -agreed)


def known_band(watch: Watch) -> list[dict[str, Any]]:
    """Return the settings shown too low, good and too high, each in order, by most cycles at each."""
    shown = {"too-low": TOO_LOW, "good": GOOD, "too-high": TOO_HIGH}
    return [
        {"shows": name, "half_turns": sorted(n for n, level in watch.levels.items() if level == told)}
        for name, told in shown.items()
    ]


def _halt(stop: str, reason: str, **values: object) -> Decision:
    return Decision(
        headline=sentence(f"mainspring-plan.headline.{stop}"),
        stop=stop,
        reasons=(sentence(f"mainspring-plan.reason.{reason}", **values),),
    )


def _often(cycles: Sequence[bool]) -> bool:
    """True where something was seen in two of the latest three cycles."""
    return sum(cycles[-OF_THREE:]) >= TWICE


def _is_odd(watch: Watch) -> bool:
    """True where the latest cycles show once what stops the work if it is seen again."""
    latest = watch.here[-OF_THREE:]
    return len(latest) < OF_THREE and any(each.binds or each.lip_fault for each in latest)


def _stop_on_fault(watch: Watch) -> Decision | None:
    """Stop where a platform rose short and yet could not be walked down."""
    for setting in dict.fromkeys(each.half_turns for each in watch.cycles):
        if _often([each.binds for each in watch.at(setting)]):
            return _halt("not-a-setting-fault", "binds", half_turns=setting)
    return None


def _stop_on_lip(watch: Watch) -> Decision | None:
    """Stop where more mainspring will not bring the lip out."""
    here = watch.here
    if _often([bool(each.lip_fault) for each in here]):
        why = next(each.lip_fault for each in reversed(here) if each.lip_fault)
        return _halt("lip-side", why)
    held_back = [n for n in watch.levels if _often([each.lip_held_back for each in watch.at(n)])]
    if watch.latest.half_turns not in held_back:
        return None
    since = min(held_back)
    changed = watch.latest.half_turns - since
    return _halt("lip-side", "lip-in-unchanged", count=changed) if changed >= UNCHANGED_AFTER else None


def _stop_on_order(watch: Watch) -> Decision | None:
    """Stop where a tighter setting acted weaker than a looser one."""
    settings = sorted(watch.levels)
    for looser, tighter in pairwise(settings):
        if watch.levels[looser] > watch.levels[tighter]:
            return _halt("not-one-way", "not-one-way", looser=looser, tighter=tighter)
    return None


def _look_again(watch: Watch) -> Decision:
    """Ask for another cycle where those here do not agree, or one of them was odd."""
    count = len(watch.here)
    if count < ENOUGH_CYCLES and not watch.measured:
        return _measure_first(watch)
    return _cycle_again(watch, "odd-cycle" if _is_odd(watch) else "one-cycle" if count == 1 else "disagree")


def _cycle_again(watch: Watch, why: str) -> Decision:
    count = len(watch.here)
    if count >= ENOUGH_CYCLES:
        return _halt("not-repeatable", "not-repeatable", count=count)
    return Decision(
        headline=sentence("mainspring-plan.headline.cycle-again"),
        reasons=(_seen(watch), sentence(f"mainspring-plan.reason.{why}")),
        moves_the_leveler=True,
    )


def _stop_on_the_way(watch: Watch, way: int) -> Decision | None:
    """Stop where nothing is left that way, or the next setting was shown to be past the band."""
    present = watch.latest.half_turns
    if present == (watch.half_turns_max if way > 0 else watch.half_turns_min):
        return _halt("no-adjustment-left", f"no-adjustment-left-{_word(way)}")
    return (
        _stop_on_coarse(watch, min(present, present + way))
        if watch.levels.get(present + way) == way
        else None
    )


def _turn(watch: Watch, way: int) -> Decision:
    """Order the half turn that two agreeing cycles ask for, once the adjustment left is known."""
    if not watch.measured:
        return _measure_first(watch)
    number = "one" if watch.spring_count == 1 else "all"
    reasons = [_seen(watch), sentence("mainspring-plan.reason.one-half-turn")]
    if number == "all":
        reasons.insert(1, sentence("mainspring-plan.reason.all-alike", count=watch.spring_count))
    turned = abs(watch.latest.half_turns)
    if (
        turned >= SAME_AFTER and len(set(watch.levels.values())) == 1
    ):  # no word tells a dead spring from one far off
        reasons.append(sentence("mainspring-plan.reason.no-change", count=turned))
    return Decision(
        headline=sentence(f"mainspring-plan.headline.{_word(way)}-{number}", count=watch.spring_count),
        do_now=way,
        reasons=tuple(reasons),
        at_the_springs=True,
        moves_the_leveler=True,
    )


def _stop_on_coarse(watch: Watch, low: int) -> Decision:
    """Stop between a setting too low and the next one, too high."""
    below = next(each for each in reversed(watch.cycles) if each.half_turns == low)
    if below.lip_held_back:
        return _halt("lip-side", "lip-in-below", low=low, high=low + 1)
    return _halt("half-turn-too-coarse", "jumped", low=low, high=low + 1)


def _measure_first(watch: Watch) -> Decision:
    return Decision(
        headline=sentence("mainspring-plan.headline.measure-first"),
        reasons=(_seen(watch), sentence("mainspring-plan.reason.not-measured")),
        at_the_springs=True,
    )


def _leave(watch: Watch) -> Decision:
    reasons = [_seen(watch), *_how_near(watch)]
    if any(each.walk_down == "firm" for each in watch.here):
        reasons.append(sentence("mainspring-plan.reason.firm-at-the-edge"))
    return Decision(
        headline=sentence("mainspring-plan.headline.leave"),
        reasons=(*reasons, sentence("mainspring-plan.reason.lip-next")),
        at_the_springs=True,
        moves_the_leveler=True,
    )


def _how_near(watch: Watch) -> list[dict[str, Any]]:
    """Say how near the nearest settings shown too low and too high lie, and how sure this one is."""
    present, count = watch.latest.half_turns, len(watch.here)
    said = []
    for name, level in (("too-low", TOO_LOW), ("too-high", TOO_HIGH)):
        away = [abs(n - present) for n, told in watch.levels.items() if told == level]
        if away:
            said.append(sentence(f"mainspring-plan.reason.near-{name}", count=min(away)))
    good = sum(each.level == GOOD for each in watch.here)
    if good < count:
        said.append(sentence("mainspring-plan.reason.good-by-most", good=good, count=count))
    return said


def _word(way: int) -> str:
    return "tighten" if way > 0 else "loosen"


def _seen(watch: Watch) -> dict[str, Any]:
    """Say what the cycles here showed and which way that points: the latest of those that agree."""
    agreed = watch.agreed(watch.latest.half_turns)
    shown = next((each for each in reversed(watch.here) if agreed in (None, each.level)), watch.latest)
    if shown.level == GOOD:
        seen = "good"
    elif shown.level == TOO_LOW:
        seen = "short" if shown.rise == "short" else "lip-in"
    else:
        seen = "slams" if shown.rise == "full-slams" else "too-hard"
    return sentence(f"mainspring-plan.reason.{seen}")
