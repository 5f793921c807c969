"""Drawings of the leveler, made from one geometry, that of the counterbalance calculator.

It uses `registers`, `shown` and the calculators' drawing and mechanics.
"""
