"""How a single thing is shown: a figure, a hazard, a number with its unit, a fault path, as safe HTML.

It uses `registers` and `reading`.
"""
