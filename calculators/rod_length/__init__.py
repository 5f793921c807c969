"""Does the rod that stands out beyond the jam nut agree with the half turns that were counted?

Uses `shared`.
"""
