"""The way through the course: its map, the first questions, the end of a lesson; the educator's
tables."""
