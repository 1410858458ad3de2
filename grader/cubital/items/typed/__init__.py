"""How what somebody types is read: a number with its unit, a line of Python."""
