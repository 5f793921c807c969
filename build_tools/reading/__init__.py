"""Reads what authors wrote: files, front matter, lines, blocks and sentences, each with its line.

It knows no rule of the book, and uses nothing of this package but places and faults.
"""
