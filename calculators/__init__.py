"""Calculators for setting dock levelers: pure functions of the standard library, one folder each.

`answering` is the door for questions, `explain` the door for pictures and workings. A calculator's folder may
use `shared` and `drawing`, and another calculator only where a plan builds on its judgment.
"""
