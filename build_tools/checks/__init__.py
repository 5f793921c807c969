"""The author's checks, one subject a module; `all_checks` runs them all and gathers the problems.

Uses everything that reads or renders the book, and nothing that builds the site.
"""
