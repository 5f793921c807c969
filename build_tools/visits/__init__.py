"""The visit as the build makes it: jobs and sequences, put together with the pages into one plan.

What happens in a visit is calculators/visit's to say; here stands only what the author wrote.
"""
