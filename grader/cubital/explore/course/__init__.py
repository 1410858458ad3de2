"""The way through the course: map, first questions, the end of a lesson; tables for educators."""
