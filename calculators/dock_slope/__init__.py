"""The slope between dock and truck bed.

Uses `shared`.
"""
