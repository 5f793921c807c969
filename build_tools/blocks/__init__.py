"""The blocks that authors write in Markdown, and the pages run through Markdown once.

Uses `sheets`, `drawing`, `shown` and `book`.
"""
