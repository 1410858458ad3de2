"""Figures of the lesson on readiness."""
