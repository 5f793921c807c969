"""What can be wrong with visits: marks of steps, jobs and sequences, and the ways through them."""
