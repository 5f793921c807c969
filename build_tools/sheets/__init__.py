"""A calculator as a work sheet on a page and on paper, made from the calculator's own declaration.

It uses `shown`, `book` and the calculators.
"""
