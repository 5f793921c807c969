"""Drawings of the leveler, made by Python from one geometry, the same that the calculators use."""
