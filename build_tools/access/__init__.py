"""Can everyone use the book? Measured in its finished pages, for the tests and for `access`."""
