"""What a series of visits is drawn from: a sound leveler under some condition, or one with a fault."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """One row of the table. Times in s, shares as 1, temperatures in degrees C."""

    repeatability: float = 0.004
    """How far runs of this leveler scatter of themselves, as a share of the fold time."""
    started: str = "countdown"
    stopped: str = "sharp"
    habit_off: float | None = None
    """How far every person's habit lies from the usual one, s; None draws it."""
    drift: float = 0.0
    """By which share folds still get quicker during the visit, as a damper warms; below 0 they get slower."""
    temperature_c: float = 20.0
    stick_s: float = 0.0
    """One run in three is slower by this much."""
    wrong_way: bool = False
    """Every turn goes the other way than entered, until the nut is brought back to as found."""
    dead: bool = False
    """Half turns do nothing."""
    forgets_turn: bool = False
    """The first half turn is made and not entered."""
    ten_fold: bool = False
    """One run in 25 is typed with its point one place off."""
    middle: bool = False
    """The company goes on towards the middle of the window."""
    history: bool = False
    """The leveler's slope is known from visits before, to 15 %."""
    share: float = 1.0
    """How many visits this row gets, beside those asked for."""

    @property
    def sound(self) -> bool:
        """True where nothing is wrong with the leveler."""
        return not (self.stick_s or self.wrong_way or self.dead or self.repeatability > 0.01)


SOUND = Condition()
FIXED_HABITS = {"early": -0.1, "half-early": -0.05, "on-time": 0.0, "half-late": 0.05, "late": 0.1}
"""How far every person's habit lies from the registered one, s: which of them misleads the plan most?"""
WITH_A_FAULT = replace(SOUND, repeatability=0.007, share=0.1)
CONDITIONS = {
    "sound-0.4": replace(SOUND, repeatability=0.004),
    "sound-0.7": replace(SOUND, repeatability=0.007),
    "sound-1.0": replace(SOUND, repeatability=0.01),
    **{
        f"{name}-{percent}": replace(SOUND, repeatability=percent / 100, habit_off=off, share=0.25)
        for percent in (0.4, 0.7, 1.0)
        for name, off in FIXED_HABITS.items()
    },
    "middle-0.7": replace(SOUND, repeatability=0.007, middle=True, share=0.1),
    "history-0.7": replace(SOUND, repeatability=0.007, history=True, share=0.1),
    "helper-0.7": replace(SOUND, repeatability=0.007, started="helper", share=0.1),
    "by-hand-0.7": replace(SOUND, repeatability=0.007, started="by-hand", share=0.1),
    "no-longer-moves-0.7": replace(SOUND, repeatability=0.007, stopped="no-longer-moves", share=0.1),
    "drift-1": replace(SOUND, repeatability=0.007, drift=0.01, share=0.1),
    "drift-2": replace(SOUND, repeatability=0.007, drift=0.02, share=0.1),
    "drift-4": replace(SOUND, repeatability=0.007, drift=0.04, share=0.1),
    "drift-back-2": replace(SOUND, repeatability=0.007, drift=-0.02, share=0.1),
    "cold-0.7": replace(SOUND, repeatability=0.007, temperature_c=-10.0, share=0.1),
    "ten-fold": replace(SOUND, repeatability=0.007, ten_fold=True, share=0.05),
    "forgotten-turn": replace(SOUND, repeatability=0.007, forgets_turn=True, share=0.05),
    "stick-0.5": replace(WITH_A_FAULT, stick_s=0.5),
    "stick-1": replace(WITH_A_FAULT, stick_s=1.0),
    "stick-2": replace(WITH_A_FAULT, stick_s=2.0),
    "scatter-3": replace(WITH_A_FAULT, repeatability=0.03),
    "scatter-6": replace(WITH_A_FAULT, repeatability=0.06),
    "dead-spring": replace(WITH_A_FAULT, dead=True),
    "wrong-way": replace(WITH_A_FAULT, wrong_way=True),
}
