"""The slope between dock and truck bed.

It uses `shared`.
"""
