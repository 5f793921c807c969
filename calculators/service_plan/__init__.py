"""When each round of service is due, as a list and as a calendar file.

It uses `shared`.
"""
