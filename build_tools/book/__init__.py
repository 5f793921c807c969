"""The whole book as written, what it said in earlier editions, and results kept from build to build.

Uses `registers` and `reading`.
"""
