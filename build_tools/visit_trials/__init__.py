"""Whole visits worked in a real browser: killed, with a wrong clock, in two editions, counted, looked at."""
