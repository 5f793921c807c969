"""What can be wrong with visits: the marks of steps, and the jobs and sequences with every way through them."""
