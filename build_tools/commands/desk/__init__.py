"""What `serve` needs at the author's desk: host, watcher, and the newest good edition.

Uses the commands' build, and `edition`.
"""
