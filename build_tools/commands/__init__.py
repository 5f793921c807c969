"""The verbs of `python3 -m build_tools`, one file each, and the set-up they share.

What runs before .venv stands is standard library only: __main__, verbs, environment, set_up, pip...
"""
