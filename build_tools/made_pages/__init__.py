"""The pages that the build makes: registers, what changed, what the book was checked against.

It uses `blocks`, `shown` and `book`.
"""
