"""The blocks that authors write in Markdown, and the pages run through Markdown once.

It uses `sheets`, `drawing`, `shown` and `book`.
"""
