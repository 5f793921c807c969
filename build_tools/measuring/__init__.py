"""What `bench` measures: builds, sizes, starts, answers and first views, ours beside stock tools.

Uses the commands that build, and `browsers`.
"""
