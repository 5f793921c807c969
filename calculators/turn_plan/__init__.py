"""The next half turn of the lip-assist spring, from timings at several settings, and when to stop.

Uses `shared`, `drawing`, and `fold_time` for the judgment of one setting.
"""
