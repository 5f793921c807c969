"""What several calculators stand on: declared fields, words, statistics, mechanics of springs and levelers.

Uses nothing but the standard library and itself.
"""
