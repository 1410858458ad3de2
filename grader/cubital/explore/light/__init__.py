"""Figures of the lesson on light and depth."""
