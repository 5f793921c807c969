"""Turns a built site into an edition: bundles, packed copies, policy, manifest and the list of hashes.

Uses `book`, `shown` and `vendor`.
"""
