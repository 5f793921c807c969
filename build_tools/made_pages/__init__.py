"""The pages that nobody writes: registers, what changed, what the book was checked against.

Uses `blocks`, `shown` and `book`.
"""
