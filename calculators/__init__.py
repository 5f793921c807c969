"""Calculators for setting dock levelers: pure functions of the standard library, one folder each.

`answering` takes questions, `explain` makes pictures and workings of answers. A calculator's folder may use
`shared` and `drawing`, and another calculator only where a plan builds on that one's judgment.
"""
