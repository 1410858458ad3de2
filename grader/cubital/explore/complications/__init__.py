"""Figures of the lesson on complications."""
