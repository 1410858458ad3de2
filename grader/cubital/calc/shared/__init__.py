"""What several topics use: quantities with their limits, units, compiled functions."""
