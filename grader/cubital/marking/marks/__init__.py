"""Marks decided, and kept in the gradebook."""
