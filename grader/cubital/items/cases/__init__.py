"""Cases that end in a decision with a trade-off: what is done, and what decided it."""
