"""Reads what authors wrote: files, front matter, lines, blocks and sentences, each with its line.

Knows no rule of the book; uses nothing of this package but places and faults.
"""
