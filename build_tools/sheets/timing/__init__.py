"""What a work sheet has for timing a fold: stopwatch, how runs were started and stopped, own timing.

Uses what sheets use.
"""
