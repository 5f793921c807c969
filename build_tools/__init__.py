"""What makes the book: command line, MkDocs plugin, checks, browser code."""
