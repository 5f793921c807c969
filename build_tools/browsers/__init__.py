"""Browsers of each engine: found, installed, started at phone size, for tests and measurements.

Uses `setting_up` and faults.
"""
