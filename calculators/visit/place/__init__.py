"""Where a visit stands: the next place, what a new edition changed there, and what keeps it from closing."""
