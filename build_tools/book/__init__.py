"""The whole book as written, what it said in earlier editions, and results kept from build to build.

It uses `registers` and `reading`.
"""
