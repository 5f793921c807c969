"""Does the lip fold in the right time? The judgment of stopwatch runs, its picture and its working.

Uses `shared` and `drawing`.
"""
