"""How springs and weight balance over the platform's travel.

It uses `shared` and `drawing`.
"""
