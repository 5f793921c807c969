"""What follows from the log: half turns, the calculators' inputs and outcomes, and what a step asks for."""
