"""The way through the course: which lesson follows, the first questions, the end of a lesson; the
educator's tables."""
