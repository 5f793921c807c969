"""The company's registers as typed rows: figures, sources, hazards, terms, fault paths, tables, words.

Uses `reading` and the calculators' words.
"""
