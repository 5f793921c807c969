"""Vendored files of others, how they are fetched and checked, and what is cut from Pyodide's library.

Uses places and faults alone.
"""
