"""Figures of the lesson on focal geometry."""
