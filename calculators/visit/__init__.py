"""A visit: the plan of jobs and the log of what was done give the screen; one act more gives new events.

Pure functions over plain data. `events` declares what is written, `state` folds it, `places` walks the plan,
`screens` shows a place, `acts` takes what a person did. Uses `answering` and `shared`.
"""
