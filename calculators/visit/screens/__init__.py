"""What is shown: one screen, the calculator that it asks, and what was entered so far."""
