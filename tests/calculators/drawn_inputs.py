"""Draw inputs from their declaration: always within it, or with something wrong."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hypothesis import settings
from hypothesis import strategies as st

from calculators.shared.fields import Field


def unhurried(examples: int) -> settings:
    """Draw so many examples, fewer where the profile says so; a deadline would fail what is right."""
    return settings(deadline=None, max_examples=min(examples, settings().max_examples))


UNHURRIED = unhurried(40)
"""For answers of a few milliseconds each."""
ODD = (
    st.none()
    | st.booleans()
    | st.text(max_size=5)
    | st.integers()
    | st.floats()
    | st.just([])
    | st.just({})
    | st.just([{}])
    | st.sampled_from([1e308, -1e308, 5e-324, -0.0, 10**400])
)


def within(fields: Sequence[Field], **fixed: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Draw an object that its declaration allows, ends of ranges included, optional inputs or not."""
    named = {field.name: fixed.get(field.name, value_of(field)) for field in fields}
    needed = {field.name: named[field.name] for field in fields if not field.optional}
    return st.fixed_dictionaries(needed, optional={name: named[name] for name in named if name not in needed})


def value_of(field: Field) -> st.SearchStrategy[Any]:
    """Draw one value that a declaration of kind number, whole or rows allows."""
    if field.kind == "rows":
        return st.lists(within(field.fields), min_size=field.least, max_size=field.most)
    assert field.kind in ("number", "whole") and field.low is not None and field.high is not None
    if field.kind == "whole":
        return st.integers(int(field.low), int(field.high))
    return st.floats(field.low, field.high, exclude_min=field.low_open)


def spoiled(fields: Sequence[Field]) -> st.SearchStrategy[dict[str, Any]]:
    """Draw an object in which any input may be of any kind, missing, or one nobody knows."""
    anything = {field.name: value_of(field) | ODD for field in fields}
    return st.fixed_dictionaries({}, optional={**anything, "color": ODD})
