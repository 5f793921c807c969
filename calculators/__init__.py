"""Calculators for setting dock levelers: pure functions of the standard library, one module each."""
