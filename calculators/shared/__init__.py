"""What several calculators share: declared fields, words, statistics, mechanics of springs and levelers.

It uses the standard library alone.
"""
