"""How springs and weight balance over the platform's travel.

Uses `shared` and `drawing`.
"""
