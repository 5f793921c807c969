"""A visit: the plan of jobs and the log of what was done give the screen; one act more gives new events.

Pure functions over plain data, in folders that use only those before them: `log` is what is written and what
it folds into, `derived` what follows from it, `place` walks the plan, `screens` shows a place, `acts` takes
what a person did, `record` is what is left behind. Uses `answering` and `shared`.
"""
