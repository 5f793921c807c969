"""Is a leveler's fold time drifting from visit to visit, and when does it leave the window?

It uses `shared`, `drawing`, and `fold_time` for the window.
"""
