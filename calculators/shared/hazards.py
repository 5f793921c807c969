"""The hazards to deal with before what an answer asks for, by their ids in the hazards register."""

from __future__ import annotations

BEFORE_TURNING = ("unsupported-leveler", "spring-energy")
"""Before anyone is at the springs: the leveler supported as its maker says, and energy locked out."""

BEFORE_CYCLING = ("people-clear", "lip-path")
"""Before the leveler moves: people, tools and support out, and the lip's path clear."""
