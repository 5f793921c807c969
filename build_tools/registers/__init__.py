"""The company's registers as typed rows: figures, sources, hazards, terms, fault paths, tables, words.

It uses `reading` and the calculators' words.
"""
