"""A coil spring's rate and stress from its dimensions.

It uses `shared`.
"""
