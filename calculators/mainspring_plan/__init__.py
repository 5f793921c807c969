"""The next half turn of the mainsprings, from what full cycles showed, and when to stop.

Uses `shared` and `drawing`.
"""
