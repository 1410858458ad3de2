"""What all calculations share: quantities and their limits, what an impossible value is told,
units, how numbers are written, compiling."""
